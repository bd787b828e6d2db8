//! The shaft's end goes into the hub's hole, and the hole turns it.

use super::{Confidence, Rule};
use crate::catalog::forms::FormShape::{DoubleD, Round, Serrated};
use crate::check::Status;
use crate::check::case::{Case, SLACK};
use crate::spec::types::Hold;

pub(super) const RULE: Rule = Rule {
    code: "hub-fit",
    title: "shaft end and hub hole belong together",
    limit: None,
    confidence: Confidence::A,
    source: "sizes stated in the spec",
    judge,
};

fn judge(case: &mut Case<'_>) {
    for at in case.hubs() {
        let larger = |hole: f64, shaft: f64| hole >= shaft - SLACK;
        let (status, message) = match (at.hub.fits.shape, at.form.shape) {
            (DoubleD { diameter: hole, flats: hole_flats, .. }, DoubleD { diameter, flats, .. }) => {
                if larger(hole, diameter) && larger(hole_flats, flats) {
                    (Status::Pass, "double-D shaft in a double-D hole".to_owned())
                } else {
                    let found = format!(
                        "hole {} over {} across flats, shaft {} over {}: it does not go in; measure both",
                        case.length(hole),
                        case.length(hole_flats),
                        case.length(diameter),
                        case.length(flats)
                    );
                    (Status::Fail, found)
                }
            }
            (Serrated { teeth: hole, .. }, Serrated { teeth, .. }) if hole == teeth => {
                (Status::Pass, format!("{teeth} teeth in {hole}"))
            }
            (Serrated { teeth: hole, .. }, Serrated { teeth, .. }) => {
                (Status::Fail, format!("shaft of {teeth} teeth, hole of {hole}: count both again"))
            }
            (Round { diameter: hole, .. }, Round { diameter, .. } | DoubleD { diameter, .. })
                if !larger(hole, diameter) =>
            {
                let found = format!("hole {}, shaft {}: it does not go in", case.length(hole), case.length(diameter));
                (Status::Fail, found)
            }
            (Round { .. }, Round { .. }) if at.hub.hold == Hold::Weld => {
                (Status::Pass, "plain round shaft welded into a round hole".to_owned())
            }
            (Round { .. }, Round { .. }) => {
                let found = "plain round shaft in a round hole: only friction turns it; use flats or teeth";
                (Status::Fail, found.to_owned())
            }
            (hole, shaft) => {
                let found = format!("{} shaft in a {} hole: use a hub made for this end", word(shaft), word(hole));
                (Status::Fail, found)
            }
        };
        case.say(status, &at.subject, (None, None), "", message);
    }
}

const fn word(shape: crate::catalog::forms::FormShape) -> &'static str {
    match shape {
        DoubleD { .. } => "double-D",
        Serrated { .. } => "serrated",
        Round { .. } => "round",
    }
}
