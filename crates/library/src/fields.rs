//! A TOML table read field by field: every value is checked where it is taken, and what nobody took is an error.

use crate::fault::{InputError, Place, Problem, nearest};
use quantities::{QuantityError, Written, limit, parse};
use std::cell::RefCell;
use std::ops::Range;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// No honest hand-written file is larger.
const MAX_BYTES: usize = 4_000_000;
/// No reading of a gas is longer.
const MAX_PAIRS: usize = 500;

/// The text of one TOML file.
pub(crate) struct Document<'t> {
    file: String,
    text: &'t str,
    root: Spanned<DeTable<'t>>,
}

/// Bytes to text, or one clear error.
pub(crate) fn text_of<'b>(file: &str, bytes: &'b [u8], wanted: &'static str) -> Result<&'b str, InputError> {
    if bytes.len() > MAX_BYTES {
        return Err(Problem::TooLarge { given: bytes.len(), max: MAX_BYTES }.in_file(file));
    }
    let text =
        std::str::from_utf8(bytes).map_err(|e| Problem::Binary { offset: e.valid_up_to(), wanted }.in_file(file))?;
    if let Some(offset) = text.find('\0') {
        return Err(Problem::Binary { offset, wanted }.in_file(file));
    }
    Ok(text.strip_prefix('\u{feff}').unwrap_or(text))
}

impl<'t> Document<'t> {
    /// Parses `text` and checks `schema = 1`.
    pub(crate) fn parse(file: &str, text: &'t str) -> Result<Self, InputError> {
        let root = DeTable::parse(text).map_err(|e| {
            let line = e.span().map(|s| line_of(text, &s));
            let hint = if e.message().contains("quoted") {
                "; text and quantities with a unit stand in quotes (\"60 V\"), yes and no are written true and false"
            } else {
                ""
            };
            Problem::Syntax { message: format!("{}{hint}", e.message()) }.at(Place {
                file: file.to_owned(),
                line,
                field: String::new(),
            })
        })?;
        let document = Self { file: file.to_owned(), text, root };
        let fields = document.fields();
        match fields.integer("schema")? {
            Some(1) => Ok(document),
            Some(other) => Err(fields.fault(
                "schema",
                Problem::WrongKind { given: other.to_string(), wanted: "1, the only schema there is".to_owned() },
            )),
            None => Err(fields.missing("schema", "schema = 1")),
        }
    }

    pub(crate) fn fields(&self) -> Fields<'_> {
        Fields {
            file: &self.file,
            text: self.text,
            path: String::new(),
            span: self.root.span(),
            table: self.root.get_ref(),
            taken: RefCell::new(vec!["schema".to_owned()]),
        }
    }
}

/// Whether two keys share their stem, such as `thickness_um` and `thickness_nm`.
fn alike(a: &str, b: &str) -> bool {
    let stem = |k: &str| k.rsplit_once('_').map_or(k.to_owned(), |(stem, _)| stem.to_owned());
    stem(a) == stem(b) || strsim::jaro_winkler(a, b) > 0.85
}

fn line_of(text: &str, span: &Range<usize>) -> usize {
    1 + text.as_bytes().iter().take(span.start).filter(|b| **b == b'\n').count()
}

/// One table of a document.
pub(crate) struct Fields<'d> {
    file: &'d str,
    text: &'d str,
    path: String,
    span: Range<usize>,
    table: &'d DeTable<'d>,
    taken: RefCell<Vec<String>>,
}

impl<'d> Fields<'d> {
    fn get(&self, key: &str) -> Option<&'d Spanned<DeValue<'d>>> {
        self.taken.borrow_mut().push(key.to_owned());
        self.table.get(key)
    }

    /// Whether the key is there, without taking it.
    pub(crate) fn has(&self, key: &str) -> bool {
        self.table.contains_key(key)
    }

    fn path_of(&self, key: &str) -> String {
        if self.path.is_empty() { key.to_owned() } else { format!("{}.{key}", self.path) }
    }

    /// The place of `key`, or of this table when the key is absent.
    pub(crate) fn place(&self, key: &str) -> Place {
        let span = self.table.get(key).map_or_else(|| self.span.clone(), Spanned::span);
        Place { file: self.file.to_owned(), line: Some(line_of(self.text, &span)), field: self.path_of(key) }
    }

    pub(crate) fn fault(&self, key: &str, problem: Problem) -> InputError {
        problem.at(self.place(key))
    }

    pub(crate) fn missing(&self, key: &str, example: &str) -> InputError {
        let others = self.table.keys().map(|k| k.get_ref().as_ref());
        let taken = self.taken.borrow();
        let strangers =
            others.filter(|k| !taken.iter().any(|t| t == k) && (key.contains(k) || k.contains(key) || alike(k, key)));
        let instead = strangers.map(ToOwned::to_owned).next();
        self.fault(key, Problem::Missing { example: example.to_owned(), instead })
    }

    fn wrong(&self, key: &str, value: &DeValue<'_>, wanted: &str) -> InputError {
        let given = match value {
            DeValue::String(s) => format!("the text \"{s}\""),
            DeValue::Integer(i) => i.to_string(),
            DeValue::Float(v) => v.to_string(),
            DeValue::Boolean(b) => b.to_string(),
            DeValue::Datetime(d) => d.to_string(),
            DeValue::Array(_) => "a list".to_owned(),
            DeValue::Table(t) if t.contains_key("from") => {
                "a range { from, to }, which only gauge can work out".to_owned()
            }
            DeValue::Table(_) => "a table".to_owned(),
        };
        self.fault(key, Problem::WrongKind { given, wanted: wanted.to_owned() })
    }

    pub(crate) fn text(&self, key: &str) -> Result<Option<&'d str>, InputError> {
        match self.get(key).map(Spanned::get_ref) {
            None => Ok(None),
            Some(DeValue::String(s)) => match s.chars().find(|c| c.is_control()) {
                None => Ok(Some(s)),
                Some(found) => {
                    let message = format!("holds the control character {found:?}; write it in one line of plain text");
                    Err(self.fault(key, Problem::Conflict { message }))
                }
            },
            Some(other) => Err(self.wrong(key, other, "text in quotes")),
        }
    }

    /// The text of `key`, if it holds text and not a number.
    pub(crate) fn text_if(&self, key: &str) -> Option<&'d str> {
        match self.get(key).map(Spanned::get_ref) {
            Some(DeValue::String(s)) => Some(s),
            _ => None,
        }
    }

    pub(crate) fn need_text(&self, key: &str, example: &str) -> Result<&'d str, InputError> {
        self.text(key)?.ok_or_else(|| self.missing(key, example))
    }

    /// One of a few words, each with its meaning.
    pub(crate) fn choice<T: Copy>(&self, key: &str, choices: &[(&str, T)]) -> Result<Option<T>, InputError> {
        let Some(given) = self.text(key)? else { return Ok(None) };
        choices.iter().find(|c| c.0 == given).map(|c| Some(c.1)).ok_or_else(|| {
            let words: Vec<String> = choices.iter().map(|c| format!("\"{}\"", c.0)).collect();
            self.fault(key, Problem::WrongKind { given: format!("\"{given}\""), wanted: words.join(" or ") })
        })
    }

    pub(crate) fn need_choice<T: Copy>(&self, key: &str, choices: &[(&str, T)]) -> Result<T, InputError> {
        self.choice(key, choices)?.ok_or_else(|| self.missing(key, &format!("{key} = \"{}\"", choices[0].0)))
    }

    pub(crate) fn boolean(&self, key: &str) -> Result<Option<bool>, InputError> {
        match self.get(key).map(Spanned::get_ref) {
            None => Ok(None),
            Some(DeValue::Boolean(b)) => Ok(Some(*b)),
            Some(other) => Err(self.wrong(key, other, "true or false")),
        }
    }

    pub(crate) fn integer(&self, key: &str) -> Result<Option<i64>, InputError> {
        match self.get(key).map(Spanned::get_ref) {
            None => Ok(None),
            Some(value @ DeValue::Integer(i)) => i64::from_str_radix(i.as_str(), i.radix())
                .map(Some)
                .map_err(|_| self.wrong(key, value, "a whole number")),
            Some(other) => Err(self.wrong(key, other, "a whole number")),
        }
    }

    /// A plain number without a row in the table of limits: for data files.
    pub(crate) fn number(&self, key: &str) -> Result<Option<f64>, InputError> {
        match self.get(key).map(Spanned::get_ref) {
            None => Ok(None),
            Some(value) => self.as_number(key, value).map(Some),
        }
    }

    pub(crate) fn need_number(&self, key: &str) -> Result<f64, InputError> {
        self.number(key)?.ok_or_else(|| self.missing(key, &format!("{key} = 1.0")))
    }

    fn as_number(&self, key: &str, value: &DeValue<'_>) -> Result<f64, InputError> {
        let text = match value {
            DeValue::Integer(i) if i.radix() != 10 => {
                return Err(self.wrong(key, value, "a decimal number"));
            }
            DeValue::Integer(i) => i.as_str(),
            DeValue::Float(v) => v.as_str(),
            other => return Err(self.wrong(key, other, "a number")),
        };
        let number: f64 = text.replace('_', "").parse().map_err(|_| self.wrong(key, value, "a decimal number"))?;
        Ok(number)
    }

    /// A list of plain numbers.
    pub(crate) fn numbers(&self, key: &str) -> Result<Option<Vec<f64>>, InputError> {
        match self.get(key).map(Spanned::get_ref) {
            None => Ok(None),
            Some(DeValue::Array(list)) => {
                list.iter().map(|v| self.as_number(key, v.get_ref())).collect::<Result<_, _>>().map(Some)
            }
            Some(other) => Err(self.wrong(key, other, "a list of numbers")),
        }
    }

    /// A pair of plain numbers, from and to.
    pub(crate) fn range(&self, key: &str) -> Result<Option<[f64; 2]>, InputError> {
        let Some(list) = self.numbers(key)? else { return Ok(None) };
        match list[..] {
            [from, to] if from <= to => Ok(Some([from, to])),
            _ => Err(self.fault(
                key,
                Problem::WrongKind { given: format!("{list:?}"), wanted: "two numbers [from, to]".to_owned() },
            )),
        }
    }

    /// A quantity in the row of the table of limits that has the field's own name.
    pub(crate) fn quantity(&self, key: &str) -> Result<Option<f64>, InputError> {
        self.quantity_in(key, key)
    }

    /// A quantity in the row named `row`.
    pub(crate) fn quantity_in(&self, key: &str, row: &str) -> Result<Option<f64>, InputError> {
        Ok(self.written(key, row)?.map(|written| written.value))
    }

    /// A quantity with what its reading assumed.
    pub(crate) fn written(&self, key: &str, row: &str) -> Result<Option<Written>, InputError> {
        let Some(value) = self.get(key).map(Spanned::get_ref) else { return Ok(None) };
        self.written_value(key, value, row).map(Some)
    }

    fn written_value(&self, key: &str, value: &DeValue<'_>, row: &str) -> Result<Written, InputError> {
        let limit = limit(row);
        let read = match value {
            DeValue::String(text) if text.trim().parse::<f64>().is_ok() => {
                Err(QuantityError::NoUnit { given: text.trim().to_owned(), unit: limit.unit })
            }
            DeValue::String(text) => parse(text, limit),
            DeValue::Integer(_) | DeValue::Float(_) => {
                limit.check(self.as_number(key, value)?).map(|value| Written { value, assumed: None })
            }
            other => {
                let wanted =
                    format!("a number in {}, or text with a unit such as \"{} {}\"", limit.unit, limit.max, limit.unit);
                return Err(self.wrong(key, other, &wanted));
            }
        };
        read.map_err(|e| self.fault(key, Problem::Quantity(Box::new(e))))
    }

    /// A list of quantities in the row named `row`.
    pub(crate) fn quantities(&self, key: &str, row: &str) -> Result<Option<Vec<f64>>, InputError> {
        match self.get(key).map(Spanned::get_ref) {
            None => Ok(None),
            Some(DeValue::Array(list)) => list
                .iter()
                .map(|v| self.written_value(key, v.get_ref(), row).map(|w| w.value))
                .collect::<Result<_, _>>()
                .map(Some),
            Some(other) => Err(self.wrong(key, other, "a list of numbers")),
        }
    }

    /// A list of pairs of quantities, each in its row; absent means empty.
    pub(crate) fn pairs(&self, key: &str, rows: [&str; 2], example: &str) -> Result<Vec<[f64; 2]>, InputError> {
        let Some(value) = self.get(key) else { return Ok(Vec::new()) };
        let wanted = format!("a list of pairs such as {example}");
        let DeValue::Array(list) = value.get_ref() else { return Err(self.wrong(key, value.get_ref(), &wanted)) };
        if list.len() > MAX_PAIRS {
            return Err(self.fault(key, Problem::TooMany { what: "pairs", given: list.len(), max: MAX_PAIRS }));
        }
        let pair = |entry: &Spanned<DeValue<'_>>| {
            let DeValue::Array(two) = entry.get_ref() else { return Err(self.wrong(key, entry.get_ref(), &wanted)) };
            let [first, second] = &two[..] else {
                return Err(self.fault(
                    key,
                    Problem::WrongKind { given: format!("a list of {} numbers", two.len()), wanted: wanted.clone() },
                ));
            };
            let read =
                |value: &Spanned<DeValue<'_>>, row| self.written_value(key, value.get_ref(), row).map(|w| w.value);
            Ok([read(first, rows[0])?, read(second, rows[1])?])
        };
        list.iter().map(pair).collect()
    }

    /// Whether `key` holds a list, without taking it.
    pub(crate) fn holds_list(&self, key: &str) -> bool {
        matches!(self.table.get(key).map(Spanned::get_ref), Some(DeValue::Array(_)))
    }

    pub(crate) fn need_quantity(&self, key: &str, row: &str) -> Result<f64, InputError> {
        self.quantity_in(key, row)?.ok_or_else(|| {
            let l = limit(row);
            self.missing(key, &format!("{key} = {}", l.min.max(1.0).min(l.max)))
        })
    }

    /// A whole number in the row named `row`, whose range is one of `u32`.
    pub(crate) fn whole(&self, key: &str, row: &str) -> Result<Option<u32>, InputError> {
        let Some(value) = self.quantity_in(key, row)? else { return Ok(None) };
        if value.fract() != 0.0 {
            let wanted = format!("a whole {}", limit(row).words);
            return Err(self.fault(key, Problem::WrongKind { given: value.to_string(), wanted }));
        }
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "whole, and its row is in range")]
        Ok(Some(value as u32))
    }

    pub(crate) fn texts(&self, key: &str) -> Result<Option<Vec<String>>, InputError> {
        match self.get(key).map(Spanned::get_ref) {
            None => Ok(None),
            Some(DeValue::Array(list)) => list
                .iter()
                .map(|v| match v.get_ref() {
                    DeValue::String(s) => Ok(s.to_string()),
                    other => Err(self.wrong(key, other, "a list of texts")),
                })
                .collect::<Result<_, _>>()
                .map(Some),
            Some(other) => Err(self.wrong(key, other, "a list of texts")),
        }
    }

    fn child(&self, path: String, span: Range<usize>, table: &'d DeTable<'d>) -> Fields<'d> {
        Fields { file: self.file, text: self.text, path, span, table, taken: RefCell::new(Vec::new()) }
    }

    /// A sub-table.
    pub(crate) fn table(&self, key: &str) -> Result<Option<Fields<'d>>, InputError> {
        let Some(value) = self.get(key) else { return Ok(None) };
        match value.get_ref() {
            DeValue::Table(table) => Ok(Some(self.child(self.path_of(key), value.span(), table))),
            other => Err(self.wrong(key, other, &format!("a table [{}]", self.path_of(key)))),
        }
    }

    pub(crate) fn need_table(&self, key: &str) -> Result<Fields<'d>, InputError> {
        self.table(key)?.ok_or_else(|| self.missing(key, &format!("[{}]", self.path_of(key))))
    }

    /// An array of tables; absent means empty.
    pub(crate) fn tables(&self, key: &str, what: &'static str, max: usize) -> Result<Vec<Fields<'d>>, InputError> {
        let Some(value) = self.get(key) else { return Ok(Vec::new()) };
        let DeValue::Array(list) = value.get_ref() else {
            let wanted = format!("[[{}]], with double brackets", self.path_of(key));
            return Err(self.wrong(key, value.get_ref(), &wanted));
        };
        if list.len() > max {
            return Err(self.fault(key, Problem::TooMany { what, given: list.len(), max }));
        }
        list.iter()
            .enumerate()
            .map(|(i, v)| match v.get_ref() {
                DeValue::Table(table) => Ok(self.child(format!("{}[{}]", self.path_of(key), i + 1), v.span(), table)),
                other => Err(self.wrong(key, other, &format!("[[{}]], a list of tables", self.path_of(key)))),
            })
            .collect()
    }

    /// Entries of a list that are either text or a table, in order.
    pub(crate) fn texts_or_tables(&self, key: &str) -> Result<Vec<TextOrTable<'d>>, InputError> {
        let Some(value) = self.get(key) else { return Ok(Vec::new()) };
        let DeValue::Array(list) = value.get_ref() else {
            return Err(self.wrong(key, value.get_ref(), "a list"));
        };
        list.iter()
            .enumerate()
            .map(|(i, v)| match v.get_ref() {
                DeValue::String(s) => Ok(TextOrTable::Text(s)),
                DeValue::Table(t) => {
                    Ok(TextOrTable::Table(self.child(format!("{}[{}]", self.path_of(key), i + 1), v.span(), t)))
                }
                other => Err(self.wrong(key, other, "a list of texts or tables")),
            })
            .collect()
    }

    /// A value that is text or a table.
    pub(crate) fn text_or_table(&self, key: &str) -> Result<Option<TextOrTable<'d>>, InputError> {
        let Some(value) = self.get(key) else { return Ok(None) };
        match value.get_ref() {
            DeValue::String(s) => Ok(Some(TextOrTable::Text(s))),
            DeValue::Table(t) => Ok(Some(TextOrTable::Table(self.child(self.path_of(key), value.span(), t)))),
            other => Err(self.wrong(key, other, "a name in quotes, or a table such as { n = 2.3, k = 2.9 }")),
        }
    }

    /// Each sub-table with its key, for registers.
    pub(crate) fn each_table(&self) -> Result<Vec<(&'d str, Fields<'d>)>, InputError> {
        let keys: Vec<&str> = self.table.keys().map(|k| k.get_ref().as_ref()).filter(|k| *k != "schema").collect();
        keys.into_iter().map(|key| Ok((key, self.need_table(key)?))).collect()
    }

    /// Every key must have been taken.
    pub(crate) fn finish(self) -> Result<(), InputError> {
        let taken = self.taken.borrow();
        for key in self.table.keys() {
            let name = key.get_ref().as_ref();
            if !taken.iter().any(|t| t == name) {
                let mut known: Vec<&str> = taken.iter().map(String::as_str).collect();
                known.sort_unstable();
                known.dedup();
                let line = Some(line_of(self.text, &key.span()));
                let place = Place { file: self.file.to_owned(), line, field: self.path_of(name) };
                return Err(Problem::UnknownKey {
                    given: name.to_owned(),
                    nearest: nearest(name, known.iter().copied()),
                    known: known.join(", "),
                }
                .at(place));
            }
        }
        Ok(())
    }
}

/// A value that may be a name or a table.
pub(crate) enum TextOrTable<'d> {
    Text(&'d str),
    Table(Fields<'d>),
}
