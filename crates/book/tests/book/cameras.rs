//! What the marks of a camera are to the log: how they are written, what is typed, which roll is where.

use book::{Run, Slip, csv, rows};

use crate::check::{loaded, pier, roll_of, slip, time};

const ROLL: &str = "box-1";

const OLDER: [(&str, &str, i32); 3] = [
    ("1/100 as engraved", "f/6.3 as engraved", -12),
    ("1/50 as engraved", "f/6.3 as engraved", 0),
    ("1/25 as engraved", "f/6.3 as engraved", 12),
];

#[test]
fn lists_say_how_a_figure_is_meant_only_where_two_meanings_stand_side_by_side() {
    let mut desk = loaded("400", "100");
    pier(&mut desk, &OLDER);
    let all = rows(desk.book(), roll_of(&desk, ROLL));
    let planned: Vec<String> = all.iter().map(|row| row.planned.join(", ")).collect();
    assert_eq!(planned, ["1/100, f/6.3", "1/50, f/6.3", "1/25, f/6.3"]);
    assert_eq!(all[1].shot, ["1/50", "f/6.3"]);
    let table = csv(desk.book(), &[roll_of(&desk, ROLL)]);
    assert!(!table.contains("as engraved"), "{table}");
    // The same figure of the series of third stops is another time.
    slip(&mut desk, ROLL, Run::One(1), Slip::Time(time("1/50")));
    let all = rows(desk.book(), roll_of(&desk, ROLL));
    assert_eq!(all[0].planned[0], "1/100");
    assert_eq!(all[0].shot[0], "1/50");
    assert_eq!(all[1].planned[0], "1/50 as engraved");
    assert_eq!(all[1].planned[1], "f/6.3");
    // What was measured is no question of how a figure is read.
    slip(
        &mut desk,
        ROLL,
        Run::One(3),
        Slip::Time(time("1/250, measured 1/160")),
    );
    let all = rows(desk.book(), roll_of(&desk, ROLL));
    assert_eq!(all[2].shot[0], "1/250, measured 1/160");
}
