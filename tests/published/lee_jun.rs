//! A published 209 nm film that dense tables do not give: asserted as a miss, with every table, and never tuned to.

use colour::{Lab, ciede2000};
use huewright::look::look;
use huewright::{Conditions, Engine};
use huewright_tests::accuracy::{Row, record};
use huewright_tests::finishes::coated;
use huewright_tests::tables::read;

/// Films of titania, and by how much their L* exceeds the printed one on every titanium and austenitic table. No bound
/// for rutile: that is not what a cold sputtered film is, and its extraordinary ray comes down to L* 57.
const FILMS: [(&str, f64); 3] = [("titania-anodic", 10.0), ("titania-anatase", 10.0), ("titania-rutile", 0.0)];

#[test]
fn the_209_nm_row_is_missed_with_every_table() {
    let engine = Engine::new().unwrap();
    let point = &read("published/lee-jun-209nm/point.csv")[0];
    assert_eq!(point.text("expect"), "miss");
    let [l, a, b] = point.numbers(["l", "a", "b"]);
    let printed = Lab { l, a, b };
    let lab = |base: (&str, &str), film: (&str, &str)| {
        let finish = coated(base, film, point.number("thickness_nm"));
        let [l, a, b] = look(&engine, &finish, &Conditions::default()).unwrap().lab;
        Lab { l, a, b }
    };
    let mut all = Vec::new();
    for base in ["titanium", "stainless-austenitic"] {
        for base_head in engine.library().sources(base) {
            for (film, least) in FILMS {
                for film_head in engine.library().sources(film) {
                    let ours = lab((base, &base_head.source), (film, &film_head.source));
                    let pair = format!("{film} {} on {base} {}", film_head.source, base_head.source);
                    assert!(ours.l > printed.l + least, "{pair}: L* {}", ours.l);
                    all.push((ciede2000(ours, printed), ours, pair));
                }
            }
        }
    }
    assert_eq!(all.len(), 40, "five bases, eight films");
    let nearest = all.iter().min_by(|x, y| x.0.total_cmp(&y.0)).unwrap();
    let default = lab(("titanium", ""), ("titania-anodic", ""));
    let why = "the printed film peaks at 31.5 % where any smooth dense film gives 50 to 70 %: the sample loses about a third \
               of the light, and its index is lower; light, observer and geometry are not stated, the source is uncertain";
    let row = |key: &str, what: String, ours: Lab| Row {
        key: format!("lee-jun-209nm/{key}"),
        what,
        source: "J. H. Lee, Y. H. Jun, author file, paper not identified".to_owned(),
        status: "published, seen second-hand".to_owned(),
        expected: format!("lab({l}, {a}, {b})"),
        ours: format!("lab({:.1}, {:.1}, {:.1})", ours.l, ours.a, ours.b),
        miss: ciede2000(ours, printed),
        // Half the last printed digit in each coordinate.
        tolerance: 0.01,
        unit: "dE00".to_owned(),
        why: Some(why.to_owned()),
    };
    record(
        "lee-jun-209nm",
        vec![
            row("1-default", "209 nm of titania over titanium, default tables".to_owned(), default),
            row("2-nearest", format!("the same, nearest of {} pairs of tables: {}", all.len(), nearest.2), nearest.1),
        ],
    );
}
