//! `print-test`: one sheet, on the paper asked for, never over another file.

use super::Shop;

#[test]
fn a_print_test_is_written_and_says_what_to_do() {
    let shop = Shop::new();
    shop.run(&["print-test", "test.pdf"]).status(0).stderr("").says("print_correction = [across / 150, up / 200]");
    let letter = shop.read("test.pdf");
    assert!(letter.starts_with(b"%PDF-1.7"));
    shop.run(&["print-test", "test.pdf"]).status(2);
    assert_eq!(shop.read("test.pdf"), letter);
    let told = shop.run(&["print-test", "test.pdf", "--sheet", "a4", "--replace", "--json"]).status(0).json();
    assert_eq!(told["sheet"], "a4");
    assert_ne!(shop.read("test.pdf"), letter);
    let refused = shop.run(&["print-test", "other.pdf", "--sheet", "foolscap"]).status(2);
    assert!(refused.stderr.contains("letter, tabloid, a4, a3"), "{}", refused.stderr);
    assert_eq!(shop.tree(), ["test.pdf"]);
}
