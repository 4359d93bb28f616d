//! Places in the field: where an opener is when the antenna is known, and the way from one place to another.
//!
//! ```text
//!   north                        forward = (cos ψ, sin ψ), left = (sin ψ, −cos ψ), as (north, east)
//!    │  ╱ ψ                      opener  = antenna − back · forward + offset · left
//!    │ ╱                         10^-7° of latitude are 11.132 mm, of longitude that times cos(latitude)
//!    └──── east
//! ```
//!
//! On a sphere of 6 378 137 m; a degree of latitude on the ellipsoid differs by 0.7 % at the most. Good for being led
//! back to a gap a few kilometres away, not for survey.

use crate::quantity::{
    Course, Micrometres, Position, Reciprocal, clamp_i32, course_of, mul_shift, mul_wide, quotient,
    sin_cos,
};

/// 10^-7 degrees on a great circle, µm: 2π · 6 378 137 m / 3.6e9.
const STEP_UM: i32 = 11_132;

/// A way over ground.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[cfg_attr(feature = "defmt", derive(defmt::Format))]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
pub struct Way {
    /// To the north, mm; held at ±2 147 km.
    pub north_mm: i32,
    /// To the east, mm; held at ±2 147 km.
    pub east_mm: i32,
    /// Length, mm.
    pub length_mm: u32,
    /// Its course.
    pub course: Course,
}

/// The cosine of a latitude, Q30.
fn cosine(latitude: i32) -> i32 {
    // 10^-7° to 2^32 a turn: 1.193 046 47 is 40 031 997 / 2^25.
    let bits = mul_wide(latitude, 40_031_997).wrapping_shr(25);
    sin_cos(Course::from_bits(clamp_i32(bits).cast_unsigned())).1
}

/// Where an opener is that lies `back` behind the antenna and `left` of it, on a course.
pub(crate) fn opener(
    antenna: Position,
    course: Course,
    back: Micrometres,
    left: Micrometres,
) -> Position {
    let (east, north) = sin_cos(course);
    let along = |part: i32, length: Micrometres| mul_shift::<30>(part, length.get());
    let to_north = along(east, left).saturating_sub(along(north, back));
    let to_east = along(east, back).saturating_add(along(north, left)).saturating_neg();
    let steps = quotient(to_north.unsigned_abs(), STEP_UM.unsigned_abs()).cast_signed();
    let latitude = if to_north < 0 { steps.saturating_neg() } else { steps };
    // 11 132 µm · cos in Q10; 11 132 · 2^10 = 11 399 168.
    let step = mul_shift::<30>(cosine(antenna.latitude()), 11_399_168).max(1);
    let steps = Reciprocal::of(step.unsigned_abs()).times(to_east.unsigned_abs(), 10);
    let steps = i32::try_from(steps).unwrap_or(0);
    let longitude = if to_east < 0 { steps.saturating_neg() } else { steps };
    let latitude = antenna.latitude().saturating_add(latitude);
    let longitude = antenna.longitude().saturating_add(longitude);
    Position::new(latitude, longitude).unwrap_or(antenna)
}

/// The way from one place to another: a person is led back by it.
pub fn way_to(from: Position, to: Position) -> Way {
    let steps = |to: i32, from: i32| i64::from(to).saturating_sub(i64::from(from));
    let north = steps(to.latitude(), from.latitude()).saturating_mul(i64::from(STEP_UM)) / 1_000;
    // The short way round the globe.
    let around = steps(to.longitude(), from.longitude());
    let around = match around {
        1_800_000_001.. => around.saturating_sub(3_600_000_000),
        ..=-1_800_000_001 => around.saturating_add(3_600_000_000),
        _ => around,
    };
    let east = around.saturating_mul(i64::from(STEP_UM)) / 1_000;
    let (north, east) = (clamp_i32(north), clamp_i32(east));
    let east = mul_shift::<30>(east, cosine(from.latitude()));
    let square =
        |side: i32| u64::from(side.unsigned_abs()).saturating_mul(side.unsigned_abs().into());
    let length = square(north).saturating_add(square(east)).isqrt();
    Way {
        north_mm: north,
        east_mm: east,
        length_mm: u32::try_from(length).unwrap_or(u32::MAX),
        course: course_of(north, east),
    }
}

#[cfg(test)]
mod tests {
    use super::{opener, way_to};
    use crate::quantity::{Course, Micrometres, Position};

    #[test]
    fn an_opener_lies_behind_and_beside_the_antenna() {
        let antenna = Position::new(545_736_382, 102_017_834).unwrap();
        // Heading east: 5 m back is west, 2 m left is north.
        let place = opener(
            antenna,
            Course::from_millidegrees(90_000),
            Micrometres::from_millimetres(5_000),
            Micrometres::from_millimetres(2_000),
        );
        let way = way_to(antenna, place);
        assert!((way.north_mm - 2_000).abs() < 15, "north {}", way.north_mm);
        assert!((way.east_mm + 5_000).abs() < 15, "east {}", way.east_mm);
        assert!(way.length_mm.abs_diff(5_385) < 15, "length {}", way.length_mm);
        let west = way.course.turned_from(Course::from_millidegrees(291_800)).unsigned_abs();
        assert!(west < 2_400_000, "course {:?}", way.course);
    }

    #[test]
    fn a_minute_of_longitude_shrinks_with_the_cosine_of_the_latitude() {
        // A minute of arc is 1 855.3 m on this sphere; cos 0°, 30°, 52°, 60° by the tables.
        for (degrees, metres) in [(0, 1_855_325), (30, 1_606_758), (52, 1_142_252), (60, 927_663)] {
            let from = Position::new(degrees * 10_000_000, 0).unwrap();
            let to = Position::new(degrees * 10_000_000, 166_667).unwrap();
            let have = way_to(from, to).length_mm;
            assert!(have.abs_diff(metres) < 60, "{degrees}°: {have} mm, wanted {metres}");
        }
    }
}
