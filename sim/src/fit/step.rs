//! One step of the log as a least-squares problem.
//!
//! For a lag and dead time the position is linear in where the shaft stood and in both speeds; those three are
//! solved for at once. What is left over, and how it would change with lag and dead time, is added up by
//! [`super::dynamics`].

use super::hold::{AT_REST, Hold, Holds, Level, Sight};

/// A step between two holds.
#[derive(Clone, Debug)]
pub(super) struct Step {
    pub(super) repeat: usize,
    at_s: f64,
    /// Both speeds are free unless silent.
    free: [bool; 2],
    /// Speed over that of the hold before, left at its start: edges/s, and that start.
    owed: (f64, f64),
    base: f64,
    sights: Vec<Sight>,
}

/// Sums over the sights of steps.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Sums {
    /// Weighted squares left over.
    pub(super) squares: f64,
    /// Normal matrix of lag and dead time: (θθ, θτ, ττ).
    pub(super) normal: [f64; 3],
    /// Right side: (θ, τ).
    pub(super) right: [f64; 2],
    /// Sights.
    pub(super) count: f64,
}

/// Longest look back before a step, s.
const LOOK_BACK_S: f64 = 1.5;

impl Step {
    /// The step from hold `index − 1` to `index`; none if a speed on either side is not known.
    pub(super) fn of(
        holds: &Holds,
        index: usize,
        (lag_s, dead_time_s): (f64, f64),
    ) -> Option<Self> {
        let (from, to) = (&holds.list[index - 1], &holds.list[index]);
        let known = |hold: &Hold| hold.level.per_s();
        let (n0, n1) = (known(from)?, known(to)?);
        let silent = [from, to].map(|hold| hold.level == Level::Silent);
        if silent == [true, true] {
            return None;
        }
        let start = (from.to_s - LOOK_BACK_S).max(from.from_s + 0.4 * (from.to_s - from.from_s));
        let end = to.to_s.min(to.from_s + dead_time_s + 8.0 * lag_s + 0.5);
        let mut sights = holds.between(start, end).to_vec();
        let rest = |t_s: f64, edges: f64| Sight { t_s, edges: edges + 0.5, weight: AT_REST };
        if silent[0] {
            sights.push(rest(to.from_s, to.place.0));
        }
        if silent[1] {
            sights.push(rest(to.to_s, to.place.1));
        }
        let before = index.checked_sub(2).and_then(|before| known(&holds.list[before]));
        let base = to.place.0;
        let enough = sights.len() >= 6 && (n1 - n0).abs() > 1.0;
        enough.then(|| Self {
            repeat: to.repeat,
            at_s: to.from_s,
            free: silent.map(|silent| !silent),
            owed: (before.unwrap_or(n0) - n0, from.from_s),
            base,
            sights,
        })
    }

    /// Adds this step's sums for a lag and dead time.
    pub(super) fn add(&self, sums: &mut Sums, lag_s: f64, dead_time_s: f64) {
        let rows: Vec<Line> =
            self.sights.iter().map(|sight| self.line(sight, lag_s, dead_time_s)).collect();
        let solve = Local::of(&rows);
        let place = solve.solve(|line| line.seen);
        let rise = place[2] - place[1];
        // What the three local unknowns can imitate of a change in θ or τ says nothing.
        let by_dead = solve.solve(|line| line.by_dead);
        let by_lag = solve.solve(|line| line.by_lag);
        for line in &rows {
            let left = line.seen - line.at(place);
            let dead = rise * (line.by_dead - line.at(by_dead));
            let lag = rise * (line.by_lag - line.at(by_lag));
            sums.squares += line.weight * left * left;
            sums.normal[0] += line.weight * dead * dead;
            sums.normal[1] += line.weight * dead * lag;
            sums.normal[2] += line.weight * lag * lag;
            sums.right[0] += line.weight * dead * left;
            sums.right[1] += line.weight * lag * left;
            sums.count += 1.0;
        }
    }

    fn line(&self, sight: &Sight, lag_s: f64, dead_time_s: f64) -> Line {
        let since = sight.t_s - self.at_s;
        let x = (since - dead_time_s).max(0.0);
        let fade = libm::exp(-x / lag_s);
        let answer = x - lag_s * (1.0 - fade);
        // The step before may still be dying out.
        let (owed, owed_from) = self.owed;
        let age = (sight.t_s - owed_from - dead_time_s).max(0.0);
        let dying = -owed * lag_s * libm::exp(-age / lag_s);
        let free = |column: f64, free: bool| if free { column } else { 0.0 };
        Line {
            weight: sight.weight,
            seen: sight.edges - self.base - dying,
            columns: [1.0, free(since - answer, self.free[0]), free(answer, self.free[1])],
            by_dead: -(1.0 - fade),
            by_lag: -(1.0 - fade - x / lag_s * fade),
        }
    }
}

/// A sight, put as an equation.
#[derive(Clone, Copy, Debug)]
struct Line {
    weight: f64,
    seen: f64,
    /// Of place, speed before and speed after.
    columns: [f64; 3],
    by_dead: f64,
    by_lag: f64,
}

impl Line {
    fn at(&self, unknowns: [f64; 3]) -> f64 {
        self.columns.iter().zip(unknowns).map(|(column, unknown)| column * unknown).sum()
    }
}

/// The three local unknowns' normal matrix.
#[derive(Debug)]
struct Local<'a> {
    lines: &'a [Line],
    matrix: [[f64; 3]; 3],
}

impl<'a> Local<'a> {
    fn of(lines: &'a [Line]) -> Self {
        let mut matrix = [[0.0; 3]; 3];
        for line in lines {
            for (row, left) in matrix.iter_mut().zip(line.columns) {
                for (cell, right) in row.iter_mut().zip(line.columns) {
                    *cell += line.weight * left * right;
                }
            }
        }
        for (index, row) in matrix.iter_mut().enumerate() {
            // A column that is not free is all zero; a one there makes its unknown zero.
            if row[index] == 0.0 {
                row[index] = 1.0;
            }
            row[index] *= 1.0 + 1e-12;
        }
        Self { lines, matrix }
    }

    /// The unknowns that come nearest to `wanted` (Cramer's rule).
    fn solve(&self, wanted: impl Fn(&Line) -> f64) -> [f64; 3] {
        let mut right = [0.0; 3];
        for line in self.lines {
            for (cell, column) in right.iter_mut().zip(line.columns) {
                *cell += line.weight * column * wanted(line);
            }
        }
        let whole = determinant(&self.matrix);
        let mut unknowns = [0.0; 3];
        for (index, unknown) in unknowns.iter_mut().enumerate() {
            let mut replaced = self.matrix;
            for (row, value) in replaced.iter_mut().zip(right) {
                row[index] = value;
            }
            *unknown = determinant(&replaced) / whole;
        }
        unknowns
    }
}

fn determinant([a, b, c]: &[[f64; 3]; 3]) -> f64 {
    a[0] * (b[1] * c[2] - b[2] * c[1]) - a[1] * (b[0] * c[2] - b[2] * c[0])
        + a[2] * (b[0] * c[1] - b[1] * c[0])
}
