//! A second reader, by lines and in f64, written from the layout alone. It shares nothing with the core.

/// What a line says.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Line {
    /// Speed of an RMC, m/s.
    pub(crate) speed_mps: Option<f64>,
    /// Latitude and longitude, degrees.
    pub(crate) place_deg: Option<[f64; 2]>,
}

/// Reads the RMC and GGA lines that are valid.
pub(crate) fn lines(text: &[u8]) -> Vec<Line> {
    text.split(|byte| *byte == b'\n').filter_map(line).collect()
}

fn line(bytes: &[u8]) -> Option<Line> {
    let text = std::str::from_utf8(bytes).ok()?.trim();
    let (body, sum) = text.strip_prefix('$')?.split_once('*')?;
    let want = u8::from_str_radix(sum.get(..2)?, 16).ok()?;
    if body.bytes().fold(0, |sum, byte| sum ^ byte) != want {
        return None;
    }
    let fields: Vec<&str> = body.split(',').collect();
    match fields[0].get(2..)? {
        "RMC" if fields.get(2) == Some(&"A") => {
            let valid = fields.get(12).is_none_or(|mode| "ADPRF".contains(mode));
            valid.then(|| Line {
                speed_mps: fields[7].parse::<f64>().ok().map(|kn| kn * 1852.0 / 3600.0),
                place_deg: place(&fields[3..7]),
            })
        }
        "GGA"
            if fields
                .get(6)
                .is_some_and(|quality| "12345".contains(quality) && !quality.is_empty()) =>
        {
            Some(Line { speed_mps: None, place_deg: place(&fields[2..6]) })
        }
        _ => None,
    }
}

fn place(fields: &[&str]) -> Option<[f64; 2]> {
    let angle = |text: &str, turned: bool| {
        let number: f64 = text.parse().ok()?;
        let degrees = (number / 100.0).floor();
        let angle = degrees + (number - degrees * 100.0) / 60.0;
        Some(if turned { -angle } else { angle })
    };
    Some([angle(fields[0], fields[1] == "S")?, angle(fields[2], fields[3] == "W")?])
}
