//! From blocks in a row to pages: what stays together, what may be split, what is said again on the
//! next page.

use super::fragment::Fragment;
use super::page::{Bookmark, Item, MissingGlyph, Page};

/// Something that is laid out and looks for its place.
#[derive(Clone, Debug, Default)]
pub struct Block {
    /// The parts between which a page may end. The first holds all that must not be parted.
    pub slices: Vec<Fragment>,
    /// Never the last thing on a page.
    pub keep_with_next: bool,
    /// Space before it, unless it begins a page, mm.
    pub gap: f32,
    /// The line of the outline that leads here.
    pub bookmark: Option<(usize, String)>,
    /// Begins a page if less than this is left, mm.
    pub wants: f32,
    /// What is said at the top of a page that begins within or before this block.
    pub running: Option<usize>,
}

impl Block {
    /// A block of one piece.
    pub fn of(fragment: Fragment) -> Self {
        Self { slices: vec![fragment], ..Self::default() }
    }
}

/// What stands at the top of a page that goes on with a table, and at the foot of the one before.
#[derive(Clone, Debug, Default)]
pub struct Running {
    /// Repeated at the top.
    pub head: Fragment,
    /// Said at the foot of a page that does not end it.
    pub foot: Fragment,
}

/// Pages without their foot: items from the top left corner of the body.
pub struct Broken {
    /// The pages.
    pub pages: Vec<Page>,
    /// The outline, nested by the levels of the bookmarks.
    pub outline: Vec<Bookmark>,
    /// Signs that the faces lack.
    pub missing: Vec<MissingGlyph>,
}

/// Puts blocks on pages of a height in mm.
pub fn onto_pages(blocks: Vec<Block>, running: &[Running], height: f32) -> Broken {
    let mut press = Press { running, height, pages: Vec::new(), items: Vec::new(), y: 0.0, fresh: true };
    let mut outline = Vec::new();
    let mut missing = Vec::new();
    let mut ahead = blocks.into_iter().peekable();
    let mut group: Vec<Block> = Vec::new();
    while let Some(block) = ahead.next() {
        missing.extend(block.slices.iter().flat_map(|slice| slice.missing.iter().cloned()));
        let waits = block.keep_with_next && ahead.peek().is_some();
        group.push(block);
        if !waits {
            press.place(std::mem::take(&mut group), &mut outline);
        }
    }
    press.finish_page();
    Broken { pages: press.pages, outline: nest(outline), missing }
}

struct Press<'a> {
    running: &'a [Running],
    height: f32,
    pages: Vec<Page>,
    items: Vec<Item>,
    y: f32,
    /// Nothing but a repeated head is on the page.
    fresh: bool,
}

struct Mark {
    level: usize,
    title: String,
    page: usize,
    y: f32,
}

impl Press<'_> {
    /// Places blocks that keep together up to the first slice of the last.
    fn place(&mut self, group: Vec<Block>, outline: &mut Vec<Mark>) {
        let last = group.len().saturating_sub(1);
        let need: f32 = group
            .iter()
            .enumerate()
            .map(|(index, block)| {
                let whole: f32 = block.slices.iter().map(|slice| slice.height).sum();
                let first = block.slices.first().map_or(0.0, |slice| slice.height);
                // What fits a page is never split; of what does not, the beginning must fit.
                block.gap + if index == last && whole > self.full(block) { first } else { whole }
            })
            .sum();
        let wants = group.iter().map(|block| block.wants).fold(need, f32::max);
        let room = self.room(group.last().and_then(|block| block.running));
        if wants > room + SLACK && !self.fresh {
            self.turn_page(group.first().and_then(|block| block.running));
        }
        for block in group {
            self.place_block(block, outline);
        }
    }

    fn place_block(&mut self, block: Block, outline: &mut Vec<Mark>) {
        if !self.fresh {
            self.y += block.gap;
        }
        for (index, slice) in block.slices.into_iter().enumerate() {
            if index > 0 && slice.height > self.room(block.running) + SLACK && !self.fresh {
                self.turn_page(block.running);
            }
            if index == 0
                && let Some((level, title)) = &block.bookmark
            {
                let (level, title) = (*level, title.clone());
                outline.push(Mark { level, title, page: self.pages.len(), y: self.y });
            }
            let height = slice.height;
            self.put(slice, self.y);
            self.y += height;
            self.fresh = false;
        }
    }

    /// What a block may take up on a page of its own.
    fn full(&self, block: &Block) -> f32 {
        let running = self.running_of(block.running);
        self.height - running.map_or(0.0, |running| running.head.height + running.foot.height)
    }

    fn room(&self, running: Option<usize>) -> f32 {
        let foot = self.running_of(running).map_or(0.0, |running| running.foot.height);
        self.height - self.y - foot
    }

    fn running_of(&self, running: Option<usize>) -> Option<&Running> {
        running.and_then(|index| self.running.get(index))
    }

    fn turn_page(&mut self, running: Option<usize>) {
        let going_on = self.running_of(running).cloned();
        if let Some(running) = &going_on {
            let foot = running.foot.clone();
            let y = self.y;
            self.put(foot, y);
        }
        self.finish_page();
        if let Some(running) = going_on {
            let height = running.head.height;
            self.put(running.head, 0.0);
            self.y = height;
        }
    }

    fn finish_page(&mut self) {
        let items = std::mem::take(&mut self.items);
        if !items.is_empty() {
            self.pages.push(Page { items });
        }
        self.y = 0.0;
        self.fresh = true;
    }

    fn put(&mut self, fragment: Fragment, y: f32) {
        self.items.extend(fragment.items.into_iter().map(|mut item| {
            item.shift(0.0, y);
            item
        }));
    }
}

/// Rounding of sums of heights, mm.
const SLACK: f32 = 0.01;

fn nest(marks: Vec<Mark>) -> Vec<Bookmark> {
    let mut top: Vec<Bookmark> = Vec::new();
    for mark in marks {
        let bookmark = Bookmark { title: mark.title, page: mark.page, y: mark.y, children: Vec::new() };
        match top.last_mut() {
            Some(parent) if mark.level > 0 => parent.children.push(bookmark),
            _ => top.push(bookmark),
        }
    }
    top
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sheet::style::PROSE;

    fn words(text: &str, height: f32) -> Fragment {
        let mut fragment = Fragment::of_height(height);
        fragment.words(text, PROSE, 0.0, 0.0, 100.0);
        fragment
    }

    fn step(name: &str, height: f32) -> Block {
        Block { running: Some(0), ..Block::of(words(name, height)) }
    }

    fn texts(broken: &Broken) -> Vec<Vec<String>> {
        let of = |page: &Page| {
            page.items
                .iter()
                .filter_map(|item| match &item.kind {
                    crate::sheet::page::Kind::Text(run) => Some(run.text().trim_end().to_owned()),
                    _ => None,
                })
                .collect()
        };
        broken.pages.iter().map(of).collect()
    }

    fn table() -> Vec<Running> {
        vec![Running { head: words("continued", 8.0), foot: words("goes on", 5.0) }]
    }

    #[test]
    fn a_heading_never_ends_a_page() {
        let heading = Block { keep_with_next: true, ..Block::of(words("Stage", 10.0)) };
        let blocks = vec![step("1", 80.0), heading, step("2", 20.0)];
        let broken = onto_pages(blocks, &[], 100.0);
        assert_eq!(texts(&broken), [vec!["1"], vec!["Stage", "2"]]);
    }

    #[test]
    fn the_head_is_repeated_and_the_continuation_said_on_both_pages() {
        let broken = onto_pages(vec![step("1", 60.0), step("2", 60.0)], &table(), 100.0);
        assert_eq!(texts(&broken), [vec!["1", "goes on"], vec!["continued", "2"]]);
    }

    #[test]
    fn a_step_is_whole_unless_it_is_longer_than_a_page() {
        let long = Block {
            slices: (0..6).map(|part| words(&format!("part {part}"), 30.0)).collect(),
            running: Some(0),
            ..Block::default()
        };
        let broken = onto_pages(vec![step("1", 20.0), long], &table(), 100.0);
        let pages = texts(&broken);
        assert_eq!(pages.len(), 3);
        assert_eq!(pages[0], ["1", "part 0", "part 1", "goes on"]);
        assert_eq!(pages[1], ["continued", "part 2", "part 3", "goes on"]);
    }

    #[test]
    fn nothing_ends_below_the_page_while_its_parts_fit() {
        let blocks = (0..40).map(|index| step(&index.to_string(), 7.0 + (index % 5) as f32)).collect();
        for page in onto_pages(blocks, &table(), 100.0).pages {
            assert!(page.items.iter().filter_map(Item::area).all(|area| area.bottom() <= 100.0));
        }
    }
}
