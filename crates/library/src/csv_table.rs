//! CSV whose column names carry the unit.

use crate::fault::{InputError, Place, Problem};
use crate::fields::text_of;
use quantities::limit;

/// More rows than any spectrum has.
const MAX_ROWS: usize = 20_000;

/// Columns of numbers, by name.
pub(crate) struct Columns {
    file: String,
    names: Vec<String>,
    values: Vec<Vec<f64>>,
    /// The first cell of each column that is no finite number: its line and text. It matters only if the column is used.
    faults: Vec<Option<(Option<usize>, String)>>,
}

impl Columns {
    /// Reads a CSV with a header row. Lines that begin with `#` are comments.
    pub(crate) fn read(file: &str, bytes: &[u8]) -> Result<Self, InputError> {
        let text = text_of(file, bytes, "CSV")?;
        let mut reader =
            csv::ReaderBuilder::new().trim(csv::Trim::All).comment(Some(b'#')).from_reader(text.as_bytes());
        let at = |line: Option<u64>, field: &str, message: String| {
            let line = line.and_then(|l| usize::try_from(l).ok());
            Problem::Table { message }.at(Place { file: file.to_owned(), line, field: field.to_owned() })
        };
        let names: Vec<String> = reader
            .headers()
            .map_err(|e| at(None, "", format!("is not a CSV table: {e}")))?
            .iter()
            .map(ToOwned::to_owned)
            .collect();
        if let Some(twice) = names.iter().enumerate().find(|(i, n)| names[..*i].contains(n)) {
            return Err(at(Some(1), twice.1, "two columns have this name; keep one".to_owned()));
        }
        if let [only] = &names[..]
            && only.contains(';')
        {
            let message =
                "has its columns apart by ';': save it with ',' between columns and '.' in numbers".to_owned();
            return Err(at(Some(1), "", message));
        }
        let mut values: Vec<Vec<f64>> = vec![Vec::new(); names.len()];
        let mut faults = vec![None; names.len()];
        for record in reader.records() {
            let record = record
                .map_err(|e| at(e.position().map(csv::Position::line), "", format!("is not a CSV table: {e}")))?;
            let line = record.position().map(csv::Position::line);
            for ((column, fault), cell) in values.iter_mut().zip(&mut faults).zip(&record) {
                let number: Option<f64> = cell.parse().ok().filter(|v: &f64| v.is_finite());
                if number.is_none() && fault.is_none() {
                    *fault = Some((line.and_then(|l| usize::try_from(l).ok()), cell.to_owned()));
                }
                column.push(number.unwrap_or(f64::NAN));
            }
            if values.first().is_some_and(|c| c.len() > MAX_ROWS) {
                return Err(at(line, "", format!("has more than {MAX_ROWS} rows")));
            }
        }
        Ok(Self { file: file.to_owned(), names, values, faults })
    }

    fn fault(&self, field: &str, message: String) -> InputError {
        Problem::Table { message }.at(Place { file: self.file.clone(), line: None, field: field.to_owned() })
    }

    /// The column `name`, if it is there; an error if one of its cells is no number.
    fn find(&self, name: &str) -> Result<Option<&[f64]>, InputError> {
        let Some(i) = self.names.iter().position(|n| n == name) else { return Ok(None) };
        match &self.faults[i] {
            None => Ok(Some(&self.values[i])),
            Some((line, cell)) => Err(Problem::Table { message: format!("'{cell}' is not a finite number") }
                .at(Place { file: self.file.clone(), line: *line, field: name.to_owned() })),
        }
    }

    pub(crate) fn need(&self, name: &str) -> Result<Vec<f64>, InputError> {
        self.find(name)?
            .map(<[f64]>::to_vec)
            .ok_or_else(|| self.fault("", format!("has no column '{name}'; its columns are {}", self.names.join(", "))))
    }

    /// The first of several columns that is there, times its factor to the wanted unit.
    pub(crate) fn any(&self, choices: &[(&str, f64)]) -> Result<Vec<f64>, InputError> {
        for (name, factor) in choices {
            if let Some(column) = self.find(name)? {
                return Ok(column.iter().map(|v| v * factor).collect());
            }
        }
        let wanted: Vec<&str> = choices.iter().map(|c| c.0).collect();
        Err(self.fault(
            "",
            format!("needs one of the columns {}; its columns are {}", wanted.join(", "), self.names.join(", ")),
        ))
    }

    /// Wavelengths in nm: rising, at least `least` of them.
    pub(crate) fn wavelengths(&self, least: usize) -> Result<Vec<f64>, InputError> {
        let nm = self.any(&[("wavelength_nm", 1.0), ("wavelength_um", 1e3)])?;
        if nm.len() < least {
            return Err(self.fault("wavelength", format!("has {} rows; at least {least} are needed", nm.len())));
        }
        if let Some(i) = (1..nm.len()).find(|i| nm[*i] <= nm[i - 1]) {
            let message = format!("wavelengths must rise, but row {} goes from {} to {} nm", i + 1, nm[i - 1], nm[i]);
            return Err(self.fault("wavelength", message));
        }
        if nm[0] < 10.0 || nm[nm.len() - 1] > 100_000.0 {
            let message =
                format!("runs from {} to {} nm; allowed is 10 to 100000 nm: check the unit", nm[0], nm[nm.len() - 1]);
            return Err(self.fault("wavelength", message));
        }
        Ok(nm)
    }

    /// Every value of `column` must pass.
    pub(crate) fn check(
        &self,
        name: &str,
        column: &[f64],
        allowed: &str,
        ok: impl Fn(f64) -> bool,
    ) -> Result<(), InputError> {
        match column.iter().position(|v| !ok(*v)) {
            None => Ok(()),
            Some(i) => {
                Err(self.fault(name, format!("row {} has {} = {}; allowed is {allowed}", i + 1, name, column[i])))
            }
        }
    }
}

/// n and k against wavelength.
pub(crate) struct IndexTable {
    pub(crate) wavelength_nm: Vec<f64>,
    pub(crate) n: Vec<f64>,
    pub(crate) k: Vec<f64>,
}

/// Columns `wavelength_nm` (or `_um`), `n`, `k`.
pub(crate) fn read_index(file: &str, bytes: &[u8]) -> Result<IndexTable, InputError> {
    let columns = Columns::read(file, bytes)?;
    let wavelength = columns.wavelengths(1)?;
    let (n, k) = (columns.need("n")?, columns.need("k")?);
    for (name, column, convention) in [("n", &n, ""), ("k", &k, " (convention N = n + i k)")] {
        let row = limit(name);
        let allowed = format!("{} to {}{convention}", row.min, row.max);
        columns.check(name, column, &allowed, |v| row.check(v).is_ok())?;
    }
    Ok(IndexTable { wavelength_nm: wavelength, n, k })
}

/// A lamp: columns `wavelength_nm` (or `_um`) and `power` (relative).
///
/// # Errors
/// [`InputError`] when columns are missing, wavelengths do not rise, power is negative, or the visible is not covered.
pub fn read_light(file: &str, bytes: &[u8]) -> Result<(Vec<f64>, Vec<f64>), InputError> {
    let columns = Columns::read(file, bytes)?;
    let wavelength = columns.wavelengths(2)?;
    let power = columns.need("power")?;
    columns.check("power", &power, "power >= 0", |v| v >= 0.0)?;
    covers(&columns, &wavelength)?;
    Ok((wavelength, power))
}

/// A reflectance spectrum: columns `wavelength_nm` (or `_um`) and `reflectance` (0 to 1) or `reflectance_percent`.
///
/// # Errors
/// [`InputError`] when columns are missing, values leave 0 to 1.2, or the visible is not covered.
pub fn read_spectrum(file: &str, bytes: &[u8]) -> Result<(Vec<f64>, Vec<f64>), InputError> {
    let columns = Columns::read(file, bytes)?;
    let wavelength = columns.wavelengths(2)?;
    let reflectance = columns.any(&[("reflectance", 1.0), ("reflectance_percent", 0.01)])?;
    columns.check("reflectance", &reflectance, "0 to 1.2 (a percentage goes in reflectance_percent)", |v| {
        (0.0..=1.2).contains(&v)
    })?;
    covers(&columns, &wavelength)?;
    Ok((wavelength, reflectance))
}

fn covers(columns: &Columns, wavelength_nm: &[f64]) -> Result<(), InputError> {
    let (first, last) = (wavelength_nm[0], wavelength_nm[wavelength_nm.len() - 1]);
    if first > 400.0 || last < 700.0 {
        return Err(columns.fault(
            "wavelength",
            format!("runs from {first} to {last} nm; at least 400 to 700 nm is needed to give a colour"),
        ));
    }
    Ok(())
}
