//! A share of the cases, for one of several machines.

use std::fmt;
use std::str::FromStr;

/// Every `of`-th case, from the `index`-th on; written `2/3`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Shard {
    index: u32,
    of: u32,
}

impl Shard {
    /// All cases.
    pub const WHOLE: Self = Self { index: 1, of: 1 };

    /// Whether it is all cases.
    pub const fn is_whole(self) -> bool {
        self.of == 1
    }

    /// Number of shards.
    pub const fn of(self) -> u32 {
        self.of
    }

    /// Its cases among `cases`, from 1 on.
    pub fn cases(self, cases: u32) -> impl Iterator<Item = u32> {
        let step = usize::try_from(self.of).unwrap_or(usize::MAX);
        (self.index..=cases).step_by(step)
    }
}

impl fmt::Display for Shard {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}/{}", self.index, self.of)
    }
}

impl FromStr for Shard {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let parts = text.split_once('/').and_then(|(index, of)| {
            Some(Self { index: index.trim().parse().ok()?, of: of.trim().parse().ok()? })
        });
        let good =
            parts.filter(|it| (1..=10_000).contains(&it.of) && (1..=it.of).contains(&it.index));
        good.ok_or_else(|| "write which shard of how many, such as 1/3 to 3/3".to_owned())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn shards_share_all_cases_among_them() {
        let mut all: Vec<u32> = ["1/3", "2/3", "3/3"]
            .iter()
            .flat_map(|text| text.parse::<Shard>().unwrap().cases(10))
            .collect();
        all.sort_unstable();
        assert_eq!(all, (1..=10).collect::<Vec<_>>());
    }

    #[test]
    fn a_shard_that_is_not_one_of_them_is_refused() {
        for text in ["0/3", "4/3", "3", "a/b", "1/0", "1/99999"] {
            assert!(text.parse::<Shard>().is_err(), "{text}");
        }
    }
}
