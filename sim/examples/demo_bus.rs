//! Prints the invented bus log of `demo-data/logs/demo-bus.log`.

fn main() {
    print!("{}", sim::machine::bus::demo_log());
}
