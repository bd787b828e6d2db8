//! General tolerances.

/// ISO 2768-1 general tolerance class.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum GeneralClass {
    /// Fine.
    Fine,
    /// Medium.
    Medium,
    /// Coarse.
    Coarse,
    /// Very coarse.
    VeryCoarse,
}

impl GeneralClass {
    /// All four, finest first.
    pub const ALL: [Self; 4] = [Self::Fine, Self::Medium, Self::Coarse, Self::VeryCoarse];

    /// As the spec and the sheets write it, such as `ISO 2768-m`.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Fine => "ISO 2768-f",
            Self::Medium => "ISO 2768-m",
            Self::Coarse => "ISO 2768-c",
            Self::VeryCoarse => "ISO 2768-v",
        }
    }

    /// The class of a name; case and spacing do not matter.
    pub fn find(name: &str) -> Option<Self> {
        let plain = |text: &str| text.split_whitespace().collect::<String>().to_lowercase();
        Self::ALL.into_iter().find(|class| plain(class.name()) == plain(name))
    }
}

/// Largest length (mm) of each column: over the one before, up to and including this.
const UP_TO: [f64; 8] = [3.0, 6.0, 30.0, 120.0, 400.0, 1000.0, 2000.0, 4000.0];

/// Least length (mm) the table covers; below it a drawing states its own tolerance.
const LEAST: f64 = 0.5;

/// ± on a linear size (mm) where the drawing states none; `None` outside the table.
/// ISO 2768-1:1989, Table 1 (from memory; two printed tables agree on f, m and v).
pub fn linear(class: GeneralClass, length: f64) -> Option<f64> {
    let row: [Option<f64>; 8] = match class {
        GeneralClass::Fine => [Some(0.05), Some(0.05), Some(0.1), Some(0.15), Some(0.2), Some(0.3), Some(0.5), None],
        GeneralClass::Medium => [0.1, 0.1, 0.2, 0.3, 0.5, 0.8, 1.2, 2.0].map(Some),
        GeneralClass::Coarse => [0.2, 0.3, 0.5, 0.8, 1.2, 2.0, 3.0, 4.0].map(Some),
        GeneralClass::VeryCoarse => [None, Some(0.5), Some(1.0), Some(1.5), Some(2.5), Some(4.0), Some(6.0), Some(8.0)],
    };
    let column = UP_TO.iter().position(|most| length <= *most).filter(|_| length >= LEAST)?;
    row.get(column).copied().flatten()
}
