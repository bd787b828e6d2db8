//! The seat turned on a bar where its bearing runs: where it lies, and whether there is bar for it.

use serde::{Deserialize, Serialize};

use super::bearing::BearingResult;
use super::slip::Split;
use crate::catalog::forms::FormShape;
use crate::diagnostic::Diagnostic;
use crate::quantity;
use crate::spec::Spec;
use crate::spec::types::{Form, Hub, ShaftEnd};

/// A turned seat. Millimetres in the shaft's own frame, as taped.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct JournalResult {
    /// Of the seat.
    pub diameter: f64,
    /// Its shoulder toward the column, from the upper end of the shaft.
    pub from: f64,
    /// Its shoulder toward the gear.
    pub to: f64,
}

/// Least step (mm) at a shoulder of the seat: what still takes the side of a bearing or a snap ring's edge.
/// Common practice, no source.
const LEAST_STEP: f64 = 0.1;

/// Least wall (mm) between the seat and a bore under it; a thinner one is turned away by an out-of-true chuck.
/// Common practice, no source.
const LEAST_WALL: f64 = 1.0;

/// Least bar (mm) between a shoulder of the seat and a hub, a cut end or the other member: a parting tool's width.
/// Common practice, no source.
const LEAST_BODY: f64 = 3.0;

/// A piece of bar a seat may lie on, along the shaft (mm).
struct Piece<'a> {
    words: &'static str,
    bar: &'a Form,
    /// Diameter of the hole through it.
    hole: f64,
    room: [f64; 2],
}

/// The seat of shaft `i`, whose length is `length` and whose hubs are `hubs`, upper first.
///
/// Fails where the bar is no larger than the seat, leaves no wall round its bore, or ends before it.
pub(super) fn result(
    spec: &Spec,
    i: usize,
    (bearing, split): (&BearingResult, Option<&Split>),
    length: f64,
    hubs: [&Hub; 2],
) -> Option<Result<JournalResult, Diagnostic>> {
    let shaft = spec.shafts.get(i)?;
    let journal = shaft.journal?;
    let taken = ShaftEnd::BOTH.map(|end| {
        let cut = shaft.ends[end.index()].as_ref().map_or(0.0, |cut| cut.length);
        hubs[end.index()].engagement(None).max(cut)
    });
    let free = [taken[0], length - taken[1]];
    let piece = match (&shaft.slip, split) {
        (Some(slip), Some(split)) => {
            // As taped the upper member ends here, and the lower one begins there.
            let (upper, lower) = (split.lengths[0], length - split.lengths[1]);
            let outer = match slip.outer_end {
                ShaftEnd::Upper => [free[0], upper],
                ShaftEnd::Lower => [lower, free[1]],
            };
            let inner = match slip.outer_end {
                ShaftEnd::Upper => [upper, free[1]],
                ShaftEnd::Lower => [free[0], lower],
            };
            if bearing.z >= outer[0].min(outer[1]) && bearing.z <= outer[1] {
                Piece { words: "the outer member", bar: &slip.outer, hole: slip.hole.diameter(), room: outer }
            } else {
                let hole = shaft.stock.bore().unwrap_or(0.0);
                Piece { words: "the inner member outside the outer one", bar: &shaft.stock, hole, room: inner }
            }
        }
        _ => Piece { words: "the bar", bar: &shaft.stock, hole: shaft.stock.bore().unwrap_or(0.0), room: free },
    };
    let seat = JournalResult {
        diameter: journal.diameter,
        from: bearing.z - journal.length / 2.0,
        to: bearing.z + journal.length / 2.0,
    };
    Some(judge(spec, i, &piece, seat))
}

fn judge(spec: &Spec, i: usize, piece: &Piece<'_>, seat: JournalResult) -> Result<JournalResult, Diagnostic> {
    let text = |mm: f64| quantity::both_units(mm, spec.build.units);
    let name = spec.shafts.get(i).map(|shaft| shaft.name.clone()).unwrap_or_default();
    let error = |code, found: String, help: String| {
        Err(Diagnostic::error(code, found).at(spec.place(&format!("shaft.{i}.journal"))).help(help))
    };
    let most = match piece.bar.shape {
        FormShape::DoubleD { flats, .. } => flats,
        FormShape::Round { diameter, .. } | FormShape::Serrated { diameter, .. } => diameter,
    } - 2.0 * LEAST_STEP;
    if seat.diameter > most {
        let across = if piece.bar.is_double_d() { "across its flats" } else { "in diameter" };
        return error(
            "journal-size",
            format!(
                "the journal of shaft \"{name}\" is {}; {} is {} {across}, so at most {} can be turned all round",
                text(seat.diameter),
                piece.words,
                text(most + 2.0 * LEAST_STEP),
                text(most)
            ),
            "use a bearing with a smaller bore, or larger bar; where the bearing runs on the bar itself, leave \
             `journal` out"
                .to_owned(),
        );
    }
    let least = piece.hole + 2.0 * LEAST_WALL;
    if piece.hole > 0.0 && seat.diameter < least {
        return error(
            "journal-size",
            format!(
                "the journal of shaft \"{name}\" is {} over a hole of {}; at least {} is needed for a wall of {}",
                text(seat.diameter),
                text(piece.hole),
                text(least),
                text(LEAST_WALL)
            ),
            "use a bearing with a larger bore, or put it on solid bar".to_owned(),
        );
    }
    let room = [piece.room[0] + LEAST_BODY, piece.room[1] - LEAST_BODY];
    // A rounding past is not past.
    if seat.from < room[0] - 1e-9 || seat.to > room[1] + 1e-9 {
        return error(
            "journal-place",
            format!(
                "the journal of shaft \"{name}\" runs from {} to {} along the shaft; {} has whole bar for it from {} to {}",
                text(seat.from),
                text(seat.to),
                piece.words,
                text(room[0]),
                text(room[1].max(room[0]))
            ),
            "move the bearing along the shaft, or make the journal shorter; it may not reach a hub, a cut end or the \
             sliding overlap"
                .to_owned(),
        );
    }
    Ok(seat)
}
