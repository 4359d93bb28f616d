//! A table of a file whose keys are known, with the place of each.

use super::entry::Entry;
use super::wanted::Wanted;
use crate::input::{InputError, InputFile, Trouble, nearest};
use toml_edit::{Document, Item, Key, TableLike, TomlError};

/// A table with the keys that may stand in it.
pub(crate) struct Section<'a> {
    file: &'a InputFile,
    table: &'a dyn TableLike,
    /// How it is called in a complaint: `the file`, `[truth]`.
    title: String,
    /// First byte of it.
    at: usize,
}

/// Parses the text of a file.
pub(crate) fn parse(file: &InputFile) -> Result<Document<&str>, InputError> {
    Document::parse(file.text()).map_err(|error| syntax(file, &error))
}

impl<'a> Section<'a> {
    /// The file's own table, of which `keys` may be used.
    pub(crate) fn root(
        file: &'a InputFile,
        document: &'a Document<&str>,
        keys: &[&str],
    ) -> Result<Self, InputError> {
        Self { file, table: document.as_table(), title: "the file".to_owned(), at: 0 }.knowing(keys)
    }

    /// The file it stands in.
    pub(crate) const fn file(&self) -> &'a InputFile {
        self.file
    }

    /// The table under `key`, if there is one.
    pub(crate) fn child(&self, key: &str, keys: &[&str]) -> Result<Option<Self>, InputError> {
        let Some((name, item)) = self.table.get_key_value(key) else { return Ok(None) };
        let at = self.start(name, item);
        let Some(table) = item.as_table_like() else {
            return Err(self.misplaced(at, key, &format!("a table [{key}]")));
        };
        Self { file: self.file, table, title: format!("[{key}]"), at }.knowing(keys).map(Some)
    }

    /// The tables `[[key]]`, none if there are none.
    pub(crate) fn children(&self, key: &str, keys: &[&str]) -> Result<Vec<Self>, InputError> {
        let Some((name, item)) = self.table.get_key_value(key) else { return Ok(Vec::new()) };
        let refuse = || self.misplaced(self.start(name, item), key, &format!("tables [[{key}]]"));
        let tables = tables(item).ok_or_else(refuse)?;
        let section = |(table, at)| Self {
            file: self.file,
            table,
            title: format!("[[{key}]]"),
            at: at_or(at, self.start(name, item)),
        };
        tables.into_iter().map(section).map(|section| section.knowing(keys)).collect()
    }

    /// Whether `key` is there, be it a value or a table.
    pub(super) fn has(&self, key: &str) -> bool {
        self.table.contains_key(key)
    }

    /// The value of `key`, if it is there.
    pub(crate) fn find(&self, key: &'static str) -> Result<Option<Entry<'a>>, InputError> {
        let Some((name, item)) = self.table.get_key_value(key) else { return Ok(None) };
        let at = self.start(name, item);
        let value = item.as_value().ok_or_else(|| self.misplaced(at, key, "a single value"))?;
        let at = value.span().map_or(at, |span| span.start);
        Ok(Some(Entry { file: self.file, key, value, at }))
    }

    /// The value of `key`, which must be there.
    pub(crate) fn need(&self, key: &'static str) -> Result<Entry<'a>, InputError> {
        self.find(key)?.ok_or_else(|| self.missing(key))
    }

    /// A quantity, or its default.
    pub(crate) fn quantity_or(
        &self,
        key: &'static str,
        wanted: Wanted,
        default: f64,
    ) -> Result<f64, InputError> {
        self.find(key)?.map_or(Ok(default), |entry| entry.quantity(wanted))
    }

    /// A quantity that must be there.
    pub(crate) fn quantity(&self, key: &'static str, wanted: Wanted) -> Result<f64, InputError> {
        self.need(key)?.quantity(wanted)
    }

    /// Every table in it by its key, for keys that are data; `keys` may stand in each.
    pub(crate) fn each(&self, keys: &[&str]) -> Result<Vec<(String, Self)>, InputError> {
        let names: Vec<String> = self.table.iter().map(|(name, _)| name.to_owned()).collect();
        let child = |name: String| self.child(&name, keys).map(|it| it.map(|it| (name, it)));
        names.into_iter().filter_map(|name| child(name).transpose()).collect()
    }

    /// A complaint about the section as a whole.
    pub(crate) fn complain(&self, trouble: Trouble, what: String, remedy: String) -> InputError {
        self.file.complain(self.at, trouble, what, remedy)
    }

    /// `key` is not there.
    pub(crate) fn missing(&self, key: &str) -> InputError {
        let what = format!("{} has no {key}", self.title);
        let remedy = match key {
            _ if key.starts_with('[') => format!("add {key}"),
            _ if key.contains(" or ") => format!("add {key}: one of them"),
            _ => format!("add a line {key} = ..."),
        };
        self.complain(Trouble::MissingKey, what, remedy)
    }

    /// `key` does not hold what it should.
    fn misplaced(&self, at: usize, key: &str, wanted: &str) -> InputError {
        let what = format!("{key} is not {wanted}");
        self.file.complain(at, Trouble::WrongForm, what, format!("write {key} as {wanted}"))
    }

    /// First byte of a key, or of its item.
    fn start(&self, key: &Key, item: &Item) -> usize {
        let span = key.span().or_else(|| item.span());
        at_or(span.map(|span| span.start), self.at)
    }

    /// Refuses keys that are not among `keys`; an empty list leaves that to the caller.
    fn knowing(self, keys: &[&str]) -> Result<Self, InputError> {
        if keys.is_empty() {
            return Ok(self);
        }
        match self.table.iter().find(|(key, _)| !keys.contains(key)) {
            Some((key, _)) => Err(self.unknown(key, keys)),
            None => Ok(self),
        }
    }

    /// `key` means nothing here.
    pub(crate) fn unknown(&self, key: &str, keys: &[&str]) -> InputError {
        let found = self.table.get_key_value(key);
        let at = found.map_or(self.at, |(key, item)| self.start(key, item));
        let what = format!("{key:?} is not a key of {}", self.title);
        let remedy = nearest(key, keys).map_or_else(
            || format!("its keys are {}", keys.join(", ")),
            |near| format!("did you mean {near}?"),
        );
        self.file.complain(at, Trouble::UnknownKey, what, remedy)
    }
}

/// A span's begin, or that of what holds it.
fn at_or(at: Option<usize>, holder: usize) -> usize {
    at.unwrap_or(holder)
}

/// The tables of `[[key]]`, or of a list of inline tables, each with its first byte.
fn tables(item: &Item) -> Option<Vec<(&dyn TableLike, Option<usize>)>> {
    if let Some(tables) = item.as_array_of_tables() {
        let each = tables
            .iter()
            .map(|table| (table as &dyn TableLike, table.span().map(|span| span.start)));
        return Some(each.collect());
    }
    let inline = |value: &'_ toml_edit::Value| value.span().map(|span| span.start);
    let each = item
        .as_array()?
        .iter()
        .map(|value| value.as_inline_table().map(|table| (table as &dyn TableLike, inline(value))));
    each.collect()
}

/// The text breaks the rules of TOML.
fn syntax(file: &InputFile, error: &TomlError) -> InputError {
    let text = file.text();
    let span = error.span().unwrap_or(text.len()..text.len());
    let lines: Vec<&str> = error.message().lines().map(str::trim).collect();
    let near = text.get(span.clone()).unwrap_or_default().lines().next().unwrap_or_default();
    let what = format!("{near:?} is not TOML: {}", lines.join(", "));
    let cut = span.end >= text.trim_end().len();
    let remedy = if cut {
        "the file seems cut short; end every string, list and table"
    } else {
        "write lines such as width = \"4.0 m\" under a heading such as [[side]]"
    };
    file.complain(span.start, Trouble::Syntax, what, remedy.to_owned())
}
