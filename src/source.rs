//! Text and its name: spans, lines and columns. Knows nothing of disks.

/// Index of a file among the [`Sources`] of one analysis.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct FileId(pub u32);

/// A half-open range of bytes in one file.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Span {
    pub file: FileId,
    /// First byte.
    pub start: u32,
    /// One past the last byte.
    pub end: u32,
}

impl Span {
    /// The bytes `start..end` of `file`.
    #[must_use]
    pub fn new(file: FileId, start: usize, end: usize) -> Self {
        let clamp = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
        Self { file, start: clamp(start), end: clamp(end.max(start)) }
    }

    /// The smallest span that holds both; `self` where the files differ.
    #[must_use]
    pub fn to(self, other: Self) -> Self {
        if self.file != other.file {
            return self;
        }
        Self { file: self.file, start: self.start.min(other.start), end: self.end.max(other.end) }
    }

    /// The span of the bytes `range` counted from this span's start.
    #[must_use]
    pub fn part(self, range: std::ops::Range<usize>) -> Self {
        Self::new(self.file, self.start as usize + range.start, self.start as usize + range.end)
    }

    /// As a range of `usize`.
    #[must_use]
    pub fn range(self) -> std::ops::Range<usize> {
        self.start as usize..self.end as usize
    }
}

/// One file: its name as the user wrote it, its text, where its lines begin.
#[derive(Clone, Debug)]
pub struct Source {
    name: String,
    text: String,
    line_starts: Vec<u32>,
}

impl Source {
    /// A file of this name and text.
    #[must_use]
    pub fn new(name: impl Into<String>, text: impl Into<String>) -> Self {
        let text = text.into();
        let mut line_starts = vec![0];
        line_starts.extend(
            text.bytes()
                .enumerate()
                .filter(|(_, b)| *b == b'\n')
                .map(|(i, _)| u32::try_from(i + 1).unwrap_or(u32::MAX)),
        );
        Self { name: name.into(), text, line_starts }
    }

    /// The name, as printed in findings.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.name
    }

    /// The whole text.
    #[must_use]
    pub fn text(&self) -> &str {
        &self.text
    }

    /// Line and column of a byte, both from 1; the column counts characters. Past the end: the end.
    #[must_use]
    pub fn line_column(&self, byte: u32) -> (usize, usize) {
        let line = self.line_starts.partition_point(|start| *start <= byte).max(1);
        let start = self.line_starts[line - 1] as usize;
        let end = (byte as usize).min(self.text.len());
        let column = self.text.as_bytes()[start.min(end)..end].iter().filter(|b| **b & 0xC0 != 0x80).count();
        (line, column + 1)
    }
}

/// All files of one analysis.
#[derive(Clone, Debug, Default)]
pub struct Sources(Vec<Source>);

impl Sources {
    /// Adds a file and tells its id.
    pub fn add(&mut self, source: Source) -> FileId {
        self.0.push(source);
        FileId(u32::try_from(self.0.len() - 1).unwrap_or(u32::MAX))
    }

    /// The file of this id, if there is one.
    #[must_use]
    pub fn get(&self, id: FileId) -> Option<&Source> {
        self.0.get(id.0 as usize)
    }

    /// All files in the order they were added.
    pub fn iter(&self) -> impl Iterator<Item = (FileId, &Source)> {
        self.0.iter().enumerate().map(|(i, s)| (FileId(u32::try_from(i).unwrap_or(u32::MAX)), s))
    }

    /// The text of a span; empty where the span lies outside its file.
    #[must_use]
    pub fn text(&self, span: Span) -> &str {
        self.get(span.file).and_then(|s| s.text().get(span.range())).unwrap_or_default()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_and_columns_count_from_one_and_in_characters() {
        let source = Source::new("a.job", "job: Ω\nraise µ front\n");
        assert_eq!(source.line_column(0), (1, 1));
        assert_eq!(source.line_column(7), (1, 7));
        assert_eq!(source.line_column(8), (2, 1));
        assert_eq!(source.line_column(16), (2, 8));
        assert_eq!(source.line_column(9999), (3, 1));
    }
}
