//! The tree of tags that lets the sheet be read aloud in order (ISO 32000-1, 14.7 and 14.8).

use lopdf::{Dictionary, Document, Object, ObjectId};

use super::text_object;
use crate::sheet::page::Tag;

/// What the operators of an item stand in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum Mark {
    /// Nothing yet.
    None,
    /// Not content.
    Artifact,
    /// Content of an element: which one, and its number on the page.
    Content {
        /// Index of the element.
        node: usize,
        /// Number on the page.
        id: i64,
    },
}

enum Kid {
    Node(usize),
    Content { page: usize, id: i64 },
}

struct Node {
    tag: Tag,
    parent: Option<usize>,
    kids: Vec<Kid>,
}

/// The tree while pages are written.
pub(super) struct Structure {
    nodes: Vec<Node>,
    open: Vec<usize>,
    page: usize,
    next: i64,
    /// For each page, the element of each number on it.
    owners: Vec<Vec<usize>>,
}

impl Structure {
    pub(super) fn new() -> Self {
        Self { nodes: Vec::new(), open: Vec::new(), page: 0, next: 0, owners: Vec::new() }
    }

    pub(super) fn begin_page(&mut self, page: usize) {
        self.page = page;
        self.next = 0;
        self.owners.push(Vec::new());
        self.open.clear();
    }

    pub(super) fn end_page(&mut self) {
        self.open.clear();
    }

    pub(super) fn open(&mut self, tag: &Tag) {
        let parent = self.open.last().copied();
        let index = self.nodes.len();
        self.nodes.push(Node { tag: tag.clone(), parent, kids: Vec::new() });
        if let Some(parent) = parent {
            self.nodes[parent].kids.push(Kid::Node(index));
        }
        self.open.push(index);
    }

    pub(super) fn close(&mut self) {
        self.open.pop();
    }

    pub(super) fn name(&self, node: usize) -> &'static str {
        self.nodes.get(node).map_or("P", |node| node.tag.name())
    }

    /// The mark that an item needs here. Lines and grounds are no content except in a figure.
    pub(super) fn place(&mut self, is_text: bool, open: &Mark) -> Mark {
        let within = |tag: fn(&Tag) -> bool| self.open.iter().rev().copied().find(|&node| tag(&self.nodes[node].tag));
        if within(|tag| *tag == Tag::Artifact).is_some() {
            return Mark::Artifact;
        }
        let figure = within(|tag| matches!(tag, Tag::Figure(_)));
        let node = match figure {
            Some(figure) => figure,
            None if !is_text => return Mark::Artifact,
            None => match self.open.last() {
                Some(&node) => node,
                None => {
                    // Text outside any element is a paragraph of its own.
                    self.nodes.push(Node { tag: Tag::Paragraph, parent: None, kids: Vec::new() });
                    self.nodes.len() - 1
                }
            },
        };
        if let Mark::Content { node: current, .. } = open
            && *current == node
        {
            return open.clone();
        }
        let id = self.next;
        self.next += 1;
        self.nodes[node].kids.push(Kid::Content { page: self.page, id });
        if let Some(owners) = self.owners.last_mut() {
            owners.push(node);
        }
        Mark::Content { node, id }
    }

    /// Writes the tree; returns a reference to its root.
    pub(super) fn write(&self, document: &mut Document, pages: &[ObjectId]) -> Object {
        let root = document.new_object_id();
        let top = document.new_object_id();
        let used: Vec<bool> = (0..self.nodes.len()).map(|node| self.has_content(node)).collect();
        let ids: Vec<Option<ObjectId>> = used.iter().map(|used| used.then(|| document.new_object_id())).collect();
        let mut first_level = Vec::new();
        for (index, node) in self.nodes.iter().enumerate() {
            let Some(id) = ids[index] else { continue };
            let parent = match node.parent {
                Some(parent) => ids[parent].unwrap_or(top),
                None => {
                    first_level.push(Object::Reference(id));
                    top
                }
            };
            let kids: Vec<Object> = node
                .kids
                .iter()
                .filter_map(|kid| match kid {
                    Kid::Node(kid) => ids[*kid].map(Object::Reference),
                    Kid::Content { page, id } => Some(
                        Dictionary::from_iter([
                            ("Type", Object::Name(b"MCR".to_vec())),
                            ("Pg", Object::Reference(*pages.get(*page)?)),
                            ("MCID", Object::Integer(*id)),
                        ])
                        .into(),
                    ),
                })
                .collect();
            let mut element = Dictionary::from_iter([
                ("Type", Object::Name(b"StructElem".to_vec())),
                ("S", Object::Name(node.tag.name().as_bytes().to_vec())),
                ("P", Object::Reference(parent)),
                ("K", Object::Array(kids)),
            ]);
            if let Tag::Figure(words) = &node.tag {
                element.set("Alt", text_object(words));
            }
            document.set_object(id, element);
        }
        document.set_object(
            top,
            Dictionary::from_iter([
                ("Type", Object::Name(b"StructElem".to_vec())),
                ("S", Object::Name(b"Document".to_vec())),
                ("P", Object::Reference(root)),
                ("K", Object::Array(first_level)),
            ]),
        );
        let mut numbers = Vec::new();
        for (page, owners) in self.owners.iter().enumerate() {
            numbers.push(Object::Integer(page as i64));
            let owners = owners.iter().map(|&node| ids[node].map_or(Object::Null, Object::Reference));
            numbers.push(Object::Array(owners.collect()));
        }
        let parents = Dictionary::from_iter([("Nums", Object::Array(numbers))]);
        document.set_object(
            root,
            Dictionary::from_iter([
                ("Type", Object::Name(b"StructTreeRoot".to_vec())),
                ("K", Object::Array(vec![Object::Reference(top)])),
                ("ParentTree", parents.into()),
                ("ParentTreeNextKey", Object::Integer(self.owners.len() as i64)),
            ]),
        );
        Object::Reference(root)
    }

    /// An element without content is left out, except a cell: a row keeps its columns.
    fn has_content(&self, node: usize) -> bool {
        let this = &self.nodes[node];
        if this.tag == Tag::Artifact {
            return false;
        }
        let kept_cell = matches!(this.tag, Tag::Cell | Tag::HeadCell);
        let parent_has = || {
            this.parent.is_some_and(|row| {
                self.nodes[row].kids.iter().any(|kid| match kid {
                    Kid::Node(kid) => *kid != node && self.deep_content(*kid),
                    Kid::Content { .. } => true,
                })
            })
        };
        self.deep_content(node) || (kept_cell && parent_has())
    }

    fn deep_content(&self, node: usize) -> bool {
        self.nodes[node].tag != Tag::Artifact
            && self.nodes[node].kids.iter().any(|kid| match kid {
                Kid::Node(kid) => self.deep_content(*kid),
                Kid::Content { .. } => true,
            })
    }
}
