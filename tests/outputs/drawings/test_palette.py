"""How crops look: sixty are told apart, the first eight without any colour, and letters stand out."""

from farms import make_crop, make_farm

from scheduler.outputs.drawings.palette import COLOURS, HATCHES, contrast, crop_styles, pattern, readable_on


def styles(count):
    return list(
        crop_styles(make_farm(crops=[make_crop(f"Crop {n}", code=f"C{n}") for n in range(count)])).values()
    )


def test_sixty_crops_all_look_different():
    assert len({(style.colour, style.hatch) for style in styles(60)}) == 60


def test_the_first_eight_crops_differ_in_colour_and_in_hatch():
    first = styles(8)
    assert {style.colour for style in first} == set(COLOURS)
    assert {style.hatch for style in first} == set(HATCHES)


def test_a_crop_looks_the_same_whatever_comes_behind_it_in_the_book():
    assert styles(60)[:5] == styles(5)


def test_more_crops_than_pairs_still_each_have_a_code():
    assert len({style.code for style in styles(70)}) == 70


def test_a_crop_without_a_code_is_called_by_its_first_letters():
    farm = make_farm(crops=[make_crop("Kale")])
    assert crop_styles(farm)["Kale"].code == "KAL"


def test_contrast_is_that_of_the_published_extremes():
    assert contrast("#000000", "#FFFFFF") == 21
    assert contrast("#777777", "#777777") == 1


def test_hatches_stand_out_from_their_colour():
    assert min(contrast(readable_on(colour), colour) for colour in COLOURS) > 4.5


def test_only_hatched_crops_draw_strokes():
    strokes = {style.hatch: 'd="M' in str(pattern(style, "x")) for style in styles(8)}
    assert strokes == {hatch: hatch != "" for hatch in HATCHES}
