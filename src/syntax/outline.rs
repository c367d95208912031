//! What stands under what, by indentation alone. The text of a line is no business of this file.

/// One open depth of the outline.
pub(super) struct Level<T> {
    /// Columns of white space in front of its lines.
    width: usize,
    /// A second width that was told once and is taken as this depth.
    also: Option<usize>,
    /// What the lines of this depth stand under.
    pub(super) holder: T,
}

/// How a line stands to the lines before it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Stands {
    /// At a depth that is open.
    Beside,
    /// Deeper than the line before: the caller opens a depth with [`Outline::open`].
    Deeper,
    /// Between two depths; it is taken as the nearer one. The widths of both.
    Between(usize, usize),
}

/// The open depths, the margin first; there is always one.
pub(super) struct Outline<T> {
    levels: Vec<Level<T>>,
}

impl<T> Outline<T> {
    /// Only the margin is open, `width` columns wide.
    pub(super) fn new(width: usize, holder: T) -> Self {
        Self { levels: vec![Level { width, also: None, holder }] }
    }

    pub(super) fn depth(&self) -> usize {
        self.levels.len() - 1
    }

    /// The innermost open depth.
    pub(super) fn top(&mut self) -> &mut Level<T> {
        let last = self.levels.len() - 1;
        &mut self.levels[last]
    }

    /// The open depth that is `up` depths outside the innermost one, if there is one.
    pub(super) fn above(&self, up: usize) -> Option<&Level<T>> {
        self.levels.len().checked_sub(up + 1).and_then(|i| self.levels.get(i))
    }

    pub(super) fn open(&mut self, width: usize, holder: T) {
        self.levels.push(Level { width, also: None, holder });
    }

    /// Closes the depths that a line of this width ends.
    pub(super) fn step_to(&mut self, width: usize) -> Stands {
        let top = self.top();
        if width > top.width {
            return if top.also == Some(width) { Stands::Beside } else { Stands::Deeper };
        }
        let mut closed = None;
        while self.levels.len() > 1 && self.top().width > width && self.top().also != Some(width) {
            closed = self.levels.pop();
        }
        let top = self.top();
        if top.width == width || top.also == Some(width) {
            return Stands::Beside;
        }
        let outer = top.width;
        match closed {
            Some(mut level) if width < outer || level.width - width <= width - outer => {
                // narrower than the margin, or nearer to the deeper one
                let stands = Stands::Between(outer, level.width);
                if width < outer {
                    top.also = Some(width);
                } else {
                    level.also = Some(width);
                    self.levels.push(level);
                }
                stands
            }
            Some(level) => {
                top.also = Some(width);
                Stands::Between(outer, level.width)
            }
            None => {
                top.also = Some(width);
                Stands::Between(outer, outer)
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn depths(widths: &[usize]) -> Vec<(usize, bool)> {
        let mut outline = Outline::new(widths[0], ());
        widths
            .iter()
            .map(|w| {
                let stands = outline.step_to(*w);
                if stands == Stands::Deeper {
                    outline.open(*w, ());
                }
                (outline.depth(), matches!(stands, Stands::Between(..)))
            })
            .collect()
    }

    #[test]
    fn any_consistent_width_is_read() {
        assert_eq!(depths(&[0, 2, 2, 4, 2, 0]).iter().map(|d| d.0).collect::<Vec<_>>(), [0, 1, 1, 2, 1, 0]);
        assert_eq!(depths(&[0, 7, 9, 7, 0, 3, 0]).iter().map(|d| d.0).collect::<Vec<_>>(), [0, 1, 2, 1, 0, 1, 0]);
    }

    #[test]
    fn a_line_between_two_depths_is_told_once_and_taken_as_the_nearer_one() {
        assert_eq!(depths(&[0, 4, 3, 3, 4]), [(0, false), (1, false), (1, true), (1, false), (1, false)]);
        assert_eq!(depths(&[0, 4, 1, 1, 0]), [(0, false), (1, false), (0, true), (0, false), (0, false)]);
        assert_eq!(depths(&[2, 0, 2]), [(0, false), (0, true), (0, false)]);
        assert_eq!(depths(&[2, 4, 0, 2]), [(0, false), (1, false), (0, true), (0, false)]);
    }
}
