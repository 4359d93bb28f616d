//! The alarms with what to do: number, name and words of the operator's display.

use super::{Body, Part};
use controller::panel::{Advice, ITEMS};

/// The part.
pub(super) fn alarms() -> Part {
    let row = |item| {
        let Advice { name, act } = Advice::of(item);
        vec![item.number().to_string(), name.to_owned(), act.to_owned()]
    };
    Part {
        heading: "Alarms".to_owned(),
        body: Body::Table {
            head: ["no.", "alarm", "what to do"].map(str::to_owned).to_vec(),
            rows: ITEMS.into_iter().map(row).collect(),
            note: "A hand goes near a shaft only with the engine off and the oil without pressure."
                .to_owned(),
        },
    }
}
