//! Feature `serde`: what is written reads back the same.

use crate::rig::{Rig, config, sampled};
use controller::settings::SettingsConfig;
use controller::{Inputs, Outputs};

#[test]
fn settings_read_back_the_same() {
    for config in [config(1), config(4), sampled()] {
        let text = serde_json::to_string(&config).expect("it can be written");
        let back: SettingsConfig = serde_json::from_str(&text).expect("it reads back");
        assert_eq!(back, config);
    }
}

#[test]
fn inputs_and_outputs_of_a_drill_at_work_read_back_the_same() {
    let mut rig = Rig::sowing(&config(2), 2_000);
    rig.inputs.yaw = Some(controller::quantity::RadiansPerSecond::from_bits(-77));
    rig.step_after(20_001);
    let text = serde_json::to_string(&rig.inputs).expect("it can be written");
    assert_eq!(serde_json::from_str::<Inputs>(&text).expect("it reads back"), rig.inputs);
    let text = serde_json::to_string(&rig.outputs).expect("it can be written");
    assert_eq!(serde_json::from_str::<Outputs>(&text).expect("it reads back"), rig.outputs);
    let account = rig.controller.account();
    let text = serde_json::to_string(&account).expect("it can be written");
    assert_eq!(serde_json::from_str::<controller::tally::Account>(&text).expect("reads"), account);
}
