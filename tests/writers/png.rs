//! PNG: size, resolution, and that there is ink where it belongs, across the bands' edges too.

use stackfall::sheets::Sheet;
use stackfall::writers::png::{png, size};

use crate::handmade;

struct Picture {
    width: usize,
    height: usize,
    rows: Vec<u8>,
    per_metre: u32,
}

fn painted(sheet: &Sheet, dpi: u32) -> Picture {
    let mut bytes = Vec::new();
    png(sheet, dpi, &mut bytes).expect("it paints");
    let mut reader = png_reader(&bytes);
    let mut rows = vec![0; reader.output_buffer_size().expect("a size")];
    let info = reader.next_frame(&mut rows).expect("rows");
    assert_eq!(
        (info.color_type, info.bit_depth),
        (::png::ColorType::Grayscale, ::png::BitDepth::Eight)
    );
    let per_metre = reader.info().pixel_dims.expect("a resolution").xppu;
    Picture {
        width: info.width as usize,
        height: info.height as usize,
        rows,
        per_metre,
    }
}

fn png_reader(bytes: &[u8]) -> ::png::Reader<std::io::Cursor<&[u8]>> {
    ::png::Decoder::new(std::io::Cursor::new(bytes))
        .read_info()
        .expect("a PNG")
}

#[test]
fn has_the_size_of_its_paper() {
    let set = handmade::set();
    assert_eq!(size(&set.sheets[0], 150), (2700, 1800));
    assert_eq!(size(&set.sheets[1], 100), (1654, 1169));
    let p = painted(&set.sheets[0], 50);
    assert_eq!((p.width, p.height, p.per_metre), (900, 600, 1969));
    assert_eq!(p.rows.len(), 900 * 600);
}

#[test]
fn ink_is_where_the_scene_has_it() {
    // 1800 rows: four bands, the last one short.
    let p = painted(&handmade::isometric(), 150);
    let dark = |x_mm: f64, y_mm: f64| {
        let (x, y) = (
            (x_mm / 25.4 * 150.0) as usize,
            (y_mm / 25.4 * 150.0) as usize,
        );
        p.rows[y * p.width + x] < 128
    };
    // The border from top to bottom, in every band; the paper beside it is white.
    for y in (12..243).step_by(7) {
        assert!(dark(10.0, f64::from(y)), "border at {y}");
        assert!(!dark(5.0, f64::from(y)), "paper at {y}");
    }
    // The main's middle; the vent's gap on both sides of it.
    let x = 100.0 + 60.0 * 0.866_025;
    assert!(dark(x, 130.0));
    assert!(!dark(x, 131.2) && !dark(x, 128.8));
    // Lettering: more than a few dark pixels in the box of the legend's bold line.
    let count = (335..380).flat_map(|x| (27..31).map(move |y| (x, y)));
    let count = count
        .filter(|(x, y)| dark(f64::from(*x), f64::from(*y)))
        .count();
    assert!(count > 10, "{count}");
}

#[test]
fn the_same_sheet_gives_the_same_bytes() {
    let (mut a, mut b) = (Vec::new(), Vec::new());
    png(&handmade::isometric(), 40, &mut a).expect("it paints");
    png(&handmade::isometric(), 40, &mut b).expect("it paints");
    assert_eq!(a, b);
}
