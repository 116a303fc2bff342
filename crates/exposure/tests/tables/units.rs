//! An independent implementation of the same relations, as golden values and, where the program is installed, afresh.

use exposure::{
    Av, Bv, Control, Ev, Mark, Steps, Sv, Tv, din_from_iso, iso_from_din, light::Constants,
};

use crate::check::{Table, close, number};

fn table() -> Table {
    Table::read("units.csv", include_str!("../data/units.csv"))
}

/// What this crate answers to a row.
#[track_caller]
fn ours(quantity: &str, argument: &str) -> f64 {
    let usual = Constants::default();
    let literal =
        |control, number| Mark::new(control, number, Steps::Engraved).expect("a value in range");
    let tv = |seconds| literal(Control::Time, seconds).tv().map(Tv::get);
    let av = |number| literal(Control::Aperture, number).av().map(Av::get);
    let ev = |number| Ev::new(number).expect("a value in range");
    if quantity == "pair" {
        let (stop, at) = argument.split_once(' ').expect("an f-number and a time");
        return av(number(stop)).expect("an aperture") + tv(number(at)).expect("a time");
    }
    let x = number(argument);
    match quantity {
        "time" => tv(x).expect("a time"),
        "aperture" => av(x).expect("an aperture"),
        "speed" => {
            // A printed speed stands for its place on the list; the program takes the figure itself.
            let mark = literal(Control::Sensitivity, x);
            mark.sv().map(Sv::get).expect("a speed") - mark.engraving_error().get()
        }
        "brightness" => usual.luminance_of_bv(Bv::new(x).expect("a value in range")),
        "luminance" => usual.luminance(ev(x)),
        "illuminance" => usual.illuminance(ev(x)),
        "ev_of_luminance" => usual.ev_of_luminance(x).expect("a luminance").get(),
        "ev_of_illuminance" => usual.ev_of_illuminance(x).expect("an illuminance").get(),
        "iso" => iso_from_din(x).expect("degrees in range"),
        "degrees" => din_from_iso(x).expect("a speed in range"),
        other => panic!("no quantity is called {other}"),
    }
}

/// The same row as the program is asked: an expression and the unit of the answer.
fn question(quantity: &str, argument: &str) -> (String, &'static str) {
    // The program writes a fraction with a bar; its slash is a division of units.
    let a = argument.replace('/', "|");
    match quantity {
        "time" => (format!("~Tv({a} s)"), "1"),
        "aperture" => (format!("~Av({a})"), "1"),
        "speed" => (format!("~Sval({a})"), "1"),
        "brightness" => (format!("Bv({a})"), "cd/m^2"),
        "luminance" => (format!("ev100({a})"), "cd/m^2"),
        "illuminance" => (format!("iv100({a})"), "lx"),
        "ev_of_luminance" => (format!("~ev100({a} cd/m^2)"), "1"),
        "ev_of_illuminance" => (format!("~iv100({a} lx)"), "1"),
        "iso" => (format!("Sdeg({a})"), "1"),
        "degrees" => (format!("~Sdeg({a})"), "1"),
        "pair" => {
            let (stop, at) = a.split_once(' ').expect("an f-number and a time");
            (format!("~Av({stop}) + ~Tv({at} s)"), "1")
        }
        other => panic!("no quantity is called {other}"),
    }
}

#[test]
fn golden_values() {
    let table = table();
    for row in table.rows() {
        let (quantity, argument) = (row.text("quantity"), row.text("argument"));
        close(
            format!("{quantity} of {argument}"),
            ours(quantity, argument),
            row.number("value"),
            table.tolerance,
        );
    }
}

/// Asks the program itself for every row. Without it there is nothing to ask, and the golden values stand alone.
#[test]
#[expect(
    clippy::disallowed_types,
    clippy::disallowed_macros,
    reason = "an independent program is the point of this check; the calculation itself starts and prints nothing"
)]
fn the_program_still_says_so() {
    use std::io::Write as _;
    use std::process::{Command, Stdio};

    let table = table();
    let asked: String = table
        .rows()
        .map(|row| {
            let (expression, unit) = question(row.text("quantity"), row.text("argument"));
            format!("{expression}\n{unit}\n")
        })
        .collect();
    let started = Command::new("units")
        .args(["--quiet", "--terse", "--output-format", "%.12g"])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn();
    let mut program = match started {
        Ok(program) => program,
        Err(error) => {
            println!("skipped: the program `units` cannot be started ({error})");
            return;
        }
    };
    // The whole question is a few kilobytes and fits the pipe, so writing it before reading cannot block.
    program
        .stdin
        .take()
        .unwrap()
        .write_all(asked.as_bytes())
        .unwrap();
    let output = program.wait_with_output().unwrap();
    let answers = String::from_utf8(output.stdout).unwrap();
    let answers: Vec<&str> = answers.lines().map(str::trim).collect();
    if !answers.iter().all(|answer| answer.parse::<f64>().is_ok()) {
        // Other programs of this name, and older definitions, have no photographic functions.
        println!(
            "skipped: this `units` does not know photographic quantities: {:?}",
            answers.first()
        );
        return;
    }
    assert_eq!(answers.len(), table.rows().count(), "one answer a row");
    for (row, answer) in table.rows().zip(answers) {
        close(
            format!("{} of {}", row.text("quantity"), row.text("argument")),
            ours(row.text("quantity"), row.text("argument")),
            number(answer),
            table.tolerance,
        );
    }
}
