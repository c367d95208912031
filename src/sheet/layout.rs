//! From what is on the sheet to pages: the parts in their order, broken, with the foot on each page.

use super::before;
use super::breaking::{Block, Running, onto_pages};
use super::catalogue as say;
use super::content::Content;
use super::fragment::Fragment;
use super::head;
use super::last_look;
use super::later;
use super::page::{Area, Bookmark, Item, Kind, Page, Paper, Sheet, Stroke, Tag};
use super::ready;
use super::steps;
use super::style::{Grid, SMALL};
use super::text::{self, Align};

/// Lays out a sheet.
pub fn pages(content: &Content, paper: Paper) -> Sheet {
    let grid = Grid::of(paper);
    let mut blocks = vec![head::head(content, &grid)];
    blocks.extend(before::before(&content.before, &grid));
    let used: f32 = blocks.iter().map(height).sum();
    let left = (grid.body.height - used).max(0.0);
    blocks.extend(ready::ready(&content.ready, &grid, left));

    let mut running = vec![Running { head: steps::column_heads(&grid), foot: Fragment::new() }];
    for (index, stage) in content.stages.iter().enumerate() {
        if index == 0 {
            let heads = Block::of(steps::column_heads(&grid));
            blocks.push(Block { keep_with_next: true, gap: 6.0, wants: 60.0, ..heads });
        }
        running.push(steps::running(stage, &grid));
        blocks.extend(steps::stage(stage, &grid, Some(0), Some(running.len() - 1)));
    }
    blocks.extend(last_look::last_look(content, &grid));
    blocks.push(last_look::sign_off(&grid));
    blocks.extend(later::later(&content.later, &grid));

    let broken = onto_pages(blocks, &running, grid.body.height);
    let total = broken.pages.len();
    let pages = broken
        .pages
        .into_iter()
        .enumerate()
        .map(|(index, page)| whole_page(page, index, total, content, &grid))
        .collect();
    let mut outline = broken.outline;
    move_down(&mut outline, grid.body.y);
    Sheet { meta: content.meta.clone(), paper, pages, outline, missing: broken.missing }
}

fn height(block: &Block) -> f32 {
    block.gap + block.slices.iter().map(|slice| slice.height).sum::<f32>()
}

fn move_down(outline: &mut [Bookmark], by: f32) {
    for bookmark in outline {
        bookmark.y += by;
        move_down(&mut bookmark.children, by);
    }
}

fn whole_page(body: Page, index: usize, total: usize, content: &Content, grid: &Grid) -> Page {
    let mut all = Fragment::new();
    all.place(Fragment { items: grouped(body.items), ..Fragment::default() }, grid.body.x, grid.body.y);
    all.place(foot(index, total, content, grid), grid.foot.x, grid.foot.y);
    Page { items: all.items }
}

/// Puts rows that follow each other into a table, and items that follow each other into a list.
fn grouped(items: Vec<Item>) -> Vec<Item> {
    let mut all = Vec::with_capacity(items.len());
    let mut depth = 0_usize;
    let mut open: Option<Tag> = None;
    for item in items {
        match &item.kind {
            Kind::Open(tag) => {
                if depth == 0 {
                    let wanted = match tag {
                        Tag::Row => Some(Tag::Table),
                        Tag::ListItem => Some(Tag::List),
                        _ => None,
                    };
                    if wanted != open {
                        if open.is_some() {
                            all.push(Item::from(Kind::Close));
                        }
                        all.extend(wanted.clone().map(|tag| Item::from(Kind::Open(tag))));
                        open = wanted;
                    }
                }
                depth += 1;
            }
            Kind::Close => depth = depth.saturating_sub(1),
            _ => {}
        }
        all.push(item);
    }
    if open.is_some() {
        all.push(Item::from(Kind::Close));
    }
    all
}

/// The foot: what this is, of which day, which page. It leads to the head.
fn foot(index: usize, total: usize, content: &Content, grid: &Grid) -> Fragment {
    let width = grid.foot.width;
    let mut all = Fragment::of_height(grid.foot.height);
    let bold = SMALL.emphasised();
    let what = [
        text::piece(content.meta.number.as_str(), bold, None),
        text::piece(format!(" · {} {} · {}", say::REVISION, content.meta.revision, content.head.digest), SMALL, None),
    ];
    let page = [
        text::piece(format!("{} ", say::PAGE), SMALL, None),
        text::piece((index + 1).to_string(), bold, None),
        text::piece(format!(" {} {total}", say::OF), SMALL, None),
    ];
    let (what, page) = (text::set(&what, f32::INFINITY), text::set(&page, f32::INFINITY));
    let middle = text::set(
        &[text::piece(content.printed.as_str(), SMALL, None)],
        width - what.width.max(page.width) * 2.0 - 6.0,
    );
    all.tagged(Tag::Artifact, |to| {
        to.line((0.0, 0.0), (width, 0.0), Stroke::black(0.25));
        to.paragraph(&what, super::page::at(0.0, 1.2), width, Align::Left);
        to.paragraph(&middle, super::page::at(0.0, 1.2), width, Align::Centre);
        to.paragraph(&page, super::page::at(0.0, 1.2), width, Align::Right);
    });
    let area = Area::new(0.0, 0.0, what.width, grid.foot.height);
    all.push(Kind::Link { area, page: 0, y: 0.0 }, None);
    all
}
