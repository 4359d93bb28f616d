//! Prints the invented field day of `demo-data/logs/demo-field.csv`.

fn main() {
    print!("{}", sim::profile::invented::field(1));
}
