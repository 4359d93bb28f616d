//! A trace as it is written; its layout stands in the crate `replay`.

use controller::quantity::Instant;
use controller::settings::SettingsConfig;
use controller::{Act, Inputs};
use replay::{ACT, BEGIN, MARK, acts, inputs};
use sim::bench::Heard;
use sim::carry::Image;

/// A trace that grows.
#[derive(Debug, Default)]
pub(crate) struct Trace {
    body: Vec<u32>,
    ticks: u32,
    runs: u32,
    last: [u32; inputs::WORDS],
    /// Where the first count of ground pulses after the tick of the flip stands.
    flip: Option<usize>,
}

/// Place of the count of ground pulses among the words.
const COUNT: usize = 1;
/// After this tick one bit is turned over for the control.
const FLIP_AFTER: u32 = 1_000;

impl Trace {
    pub(crate) const fn ticks(&self) -> u32 {
        self.ticks
    }

    pub(crate) const fn runs(&self) -> u32 {
        self.runs
    }

    /// A controller at power-up.
    pub(crate) fn begin(&mut self, config: &SettingsConfig) -> Result<(), String> {
        let image = Image::of(config).map_err(|error| error.to_string())?;
        let bytes = image.bytes();
        let length = u32::try_from(bytes.len()).map_err(|error| error.to_string())?;
        self.body.extend([BEGIN, length]);
        for chunk in bytes.chunks(4) {
            let mut word = [0; 4];
            word[..chunk.len()].copy_from_slice(chunk);
            self.body.push(u32::from_le_bytes(word));
        }
        self.last = [0; inputs::WORDS];
        self.runs += 1;
        Ok(())
    }

    /// A tick. What is read back must be what was written.
    pub(crate) fn tick(&mut self, given: &Inputs) -> Result<(), String> {
        let mut words = self.last;
        inputs::write(given, &mut words);
        if inputs::read(&words) != *given {
            return Err(format!("these inputs have no place in a trace: {given:?}"));
        }
        self.words(words);
        Ok(())
    }

    /// A tick of these words.
    pub(crate) fn words(&mut self, words: [u32; inputs::WORDS]) {
        let changed: Vec<usize> =
            (0..words.len()).filter(|place| words[*place] != self.last[*place]).collect();
        self.body.push(changed.iter().map(|place| 1 << place).sum());
        if self.ticks > FLIP_AFTER && self.flip.is_none() {
            let before = changed.iter().position(|place| *place == COUNT);
            self.flip = before.map(|before| self.body.len() + before);
        }
        self.body.extend(changed.iter().map(|place| words[*place]));
        self.last = words;
        self.ticks += 1;
    }

    /// The words of the last tick.
    pub(crate) const fn last(&self) -> [u32; inputs::WORDS] {
        self.last
    }

    pub(crate) fn act(&mut self, act: &Act, now: Instant) -> Result<(), String> {
        let words = acts::write(act).filter(|words| acts::read(*words).as_ref() == Some(act));
        let words = words.ok_or_else(|| format!("this act has no place in a trace: {act:?}"))?;
        self.body.extend([ACT, words[0], words[1], now.micros()]);
        Ok(())
    }

    pub(crate) fn heard(&mut self, heard: &[Heard]) -> Result<(), String> {
        heard.iter().try_for_each(|heard| match heard {
            Heard::Act(act, now) => self.act(act, *now),
            Heard::Tick(given) => self.tick(given),
        })
    }

    /// The same with one pulse more or less on the ground in one tick: its lowest bit turned over.
    pub(crate) fn flipped(mut self) -> Self {
        if let Some(count) = self.flip.and_then(|place| self.body.get_mut(place)) {
            *count ^= 1;
        }
        self
    }

    /// The file.
    pub(crate) fn bytes(&self) -> Vec<u8> {
        let length = u32::try_from(self.body.len()).unwrap_or(u32::MAX);
        let head = [MARK, self.ticks, length];
        head.iter().chain(&self.body).flat_map(|word| word.to_le_bytes()).collect()
    }
}
