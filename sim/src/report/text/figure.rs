//! Figures of the score in words.

/// What a figure is called when a person reads of it; the key itself if it is not one of the score's.
pub(crate) fn words(figure: &str) -> &str {
    match figure {
        "within_3_pct" => "share of ground within ±3 %",
        "within_5_pct" => "share of ground within ±5 %",
        "within_10_pct" => "share of ground within ±10 %",
        "rms_pct" => "typical miss (rms, %)",
        "mean_pct" => "mean miss (%)",
        "worst_pct" => "worst miss (%)",
        "all_within_10_pct" => "share of all ground, starts included, within ±10 %",
        "mass_pct" => "seed laid against seed owed (%)",
        "missed_pct" => "seed missing where too little lay (%)",
        "doubled_pct" => "seed too much (%)",
        "start_error_m" => "skip at the start (m)",
        "stop_error_m" => "overrun at the end (m)",
        "start_excess_m" => "skip at the start beyond what delays explain (m)",
        "stop_excess_m" => "overrun at the end beyond what delays explain (m)",
        "tally_area_pct" => "area counted against true area (%)",
        "tally_mass_pct" => "seed counted against seed metered (%)",
        "floor_ratio" => "typical miss over that of the best law possible",
        "control_within_5_pct" => "share of ground within ±5 % if the meter were smooth",
        "control_within_10_pct" => "share of ground within ±10 % if the meter were smooth",
        "control_rms_pct" => "typical miss if the meter were smooth (rms, %)",
        "meter_rms_pct" => "typical miss of the meter itself (rms, %)",
        "running_cells" => "number of cells in steady running",
        "all_cells" => "number of cells",
        "sown_once_pct" => "share of the field sown once",
        "sown_twice_pct" => "share of the field sown twice or more",
        "not_sown_pct" => "share of the field not sown",
        "sown_outside_pct" => "ground sown outside, over the field",
        key => key,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::score::Score;

    #[test]
    fn every_figure_of_the_score_has_words() {
        let score = serde_json::to_value(Score::default()).expect("a score is JSON");
        for key in score.as_object().expect("an object").keys() {
            assert_ne!(words(key), key, "no words for {key}");
        }
    }
}
