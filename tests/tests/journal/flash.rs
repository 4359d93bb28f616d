//! The mock flash is as harsh as it says.

use embedded_storage::nor_flash::NorFlash;
use sim::machine::flash::{FlashError, MockFlash, SECTOR};

#[test]
fn a_program_sets_no_bit() {
    let mut flash = MockFlash::new(1, 1);
    flash.write(8, &[0x0F; 4]).expect("erased");
    assert_eq!(flash.write(8, &[0xF0; 4]), Err(FlashError::NotErased(8)));
    flash.write(8, &[0x07; 4]).expect("clears bits only");
    assert_eq!(flash.write(9, &[0; 4]), Err(FlashError::NotAligned));
    assert_eq!(flash.erase(0, 100), Err(FlashError::NotAligned));
}

#[test]
fn a_cut_program_leaves_what_came_before_and_half_a_word() {
    let mut flash = MockFlash::new(1, 2);
    flash.cut_after(2);
    assert_eq!(flash.write(0, &[0; 16]), Err(FlashError::NoPower));
    assert!(flash.is_cut());
    flash.power_up();
    let zeros: u32 = flash.bytes()[8..12].iter().map(|byte| byte.count_zeros()).sum();
    assert_eq!(flash.bytes()[..8], [0; 8], "before the cut");
    assert!((1..32).contains(&zeros), "half a word, have {zeros} bits");
    assert_eq!(flash.bytes()[12..16], [0xFF; 4], "never reached");
}

#[test]
fn a_cut_erase_leaves_bits_at_random_or_a_weak_sector() {
    for step in 0..4 {
        let mut flash = MockFlash::new(2, step);
        flash.write(0, &[0; SECTOR]).expect("erased");
        flash.cut_after(step);
        assert_eq!(flash.erase(0, 4096), Err(FlashError::NoPower));
        flash.power_up();
        let blank = flash.bytes()[..SECTOR].iter().all(|byte| *byte == 0xFF);
        assert_eq!(blank, step == 3, "looks erased after step {step}");
    }
    let mut flash = MockFlash::new(1, 9);
    flash.cut_after(3);
    assert_eq!(flash.erase(0, 4096), Err(FlashError::NoPower));
    flash.power_up();
    flash.write(0, &[0xFE; 256]).expect("it looks erased");
    flash.power_up();
    assert!(flash.bytes()[..256].iter().any(|byte| *byte != 0xFE), "weak");
}

#[test]
fn time_goes_by_pages_and_sectors() {
    let mut flash = MockFlash::new(2, 3);
    // Two pages are touched by 256 bytes that start in the middle of one.
    flash.write(128, &[0; 256]).expect("erased");
    flash.erase(4096, 8192).expect("aligned");
    assert_eq!((flash.busy().typical_us, flash.busy().most_us), (46_400, 406_000));
    assert_eq!(flash.erases(), [0, 1]);
}
