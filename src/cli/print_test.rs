//! `yokeline print-test FILE.pdf`.

use super::args::PrintTest;
use super::one_file::whole;
use super::package::DiskError;
use super::{Settings, Trouble, answer, exit};
use crate::catalog::sheets;
use crate::pipeline;

/// Writes the sheet by which a printer is measured; never over an existing file unless told to.
pub fn run(options: &PrintTest, settings: Settings) -> Result<u8, Trouble> {
    let PrintTest { file, sheet, replace } = options;
    let trouble = |message: String, help| DiskError { path: file.clone(), message, help };
    let Some(paper) = sheets::find(sheet) else {
        let message = format!("no sheet is called \"{sheet}\"; there is {}", sheets::names().join(", "));
        return Err(trouble(message, "name one of them with --sheet").into());
    };
    let bytes = pipeline::print_test(paper).map_err(|error| Trouble::Package(vec![error.message]))?;
    whole(file, &bytes, *replace)?;
    let name = file.display();
    let text = if settings.json {
        serde_json::json!({ "wrote": name.to_string(), "sheet": paper.name }).to_string() + "\n"
    } else {
        format!(
            "wrote {name}, {}: print it at 100 % (\"actual size\") and measure both rules\n\
             then state in the spec, under [output]:\n  \
             print_correction = [across / 150, up / 200]\n",
            paper.title
        )
    };
    answer(&text, settings)?;
    Ok(exit::GOOD)
}
