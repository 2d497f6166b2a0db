"""Quantities in prose: found, converted, rounded to what they deserve, and left alone wherever they may mean more."""

import re

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from builder.draw.quantities import quantities
from builder.draw.units import parse_figure


def both(text: str, locale: str = "en_GB") -> str:
    """A text with each conversion in brackets behind its quantity, as pages show it; blanks do not break there."""
    told, done = "", 0
    for quantity in quantities(text, locale):
        told += f"{text[done : quantity.end]} ({quantity.other})"
        done = quantity.end
    return (told + text[done:]).replace("\u00a0", " ")


def without_told(told: str) -> str:
    return re.sub(r" \([^)]*\)", "", told)


@pytest.mark.parametrize(
    "told",
    [
        "Tighten to 25 N·m (18 lb·ft), then loosen",
        "140 N·m (103 lb·ft)",
        "8 N·m (71 lb·in)",
        "20-25 N·m (15-18 lb·ft)",
        "20 – 25 N·m (15 – 18 lb·ft)",
        "Pump to 1.1 bar (16 psi)",
        "0.05 bar (0.73 psi)",
        "250 kPa (36.3 psi)",
        "0.4 mm (0.016 in) to 1.2 mm (0.047 in)",
        "0.4 to 1.2 mm (0.016 to 0.047 in)",
        "between 2 and 3 mm (0.079 and 0.12 in)",
        "100 km/h (62 mph)",
        "60 000 km (37,000 mi)",
        "4 kg (8.8 lb), 60 g (2.1 oz)",
        "5 l (5.3 US qt) of coolant, 250 ml (8.5 US fl oz) of oil",
        "32 psi (2.2 bar), 18 lb·ft (24 N·m), 60 mph (97 km/h), 5 lb (2.3 kg)",
    ],
)
def test_conversion_is_as_precise_as_what_was_written(told: str) -> None:
    assert both(without_told(told)) == told


@pytest.mark.parametrize(
    "told",
    [
        "The fan starts at 98 °C (208 °F)",
        "Hose cold until about 85 °C (185 °F)",
        "below 5 °C (41 °F)",
        "at -10 °C (14 °F)",
        "Let it cool to 40 °C (104 °F)",
        "both between 80 °C (176 °F) and 150 °C (302 °F) and within 20 °C of each other",
        "between 80 and 150 °C (176 and 302 °F)",
        "from 20 °C (68 °F) to 90 °C (194 °F)",
        "at 212 °F (100 °C)",
    ],
)
def test_reading_of_a_thermometer_is_converted_with_its_offset(told: str) -> None:
    assert both(without_told(told)) == told


@pytest.mark.parametrize(
    "text",
    [
        "within 3 °C",
        "Housing within 6 °C of the live value",
        "15-30 °C cooler",
        "A patch more than 15 °C colder than its neighbours",
        "One side 40 °C or more above the other",
        "off by 5 °C or more",
        "It rises by 20 °C",
        "A difference of 10 °C to 20 °C",
        "A drop of 10 to 20 °C",
        "The difference stays below 5 °C",
        "Hold it at 40 °C above the air",
        "20 °C",
    ],
)
def test_temperature_that_may_be_a_difference_is_left_alone(text: str) -> None:
    assert both(text) == text


@pytest.mark.parametrize(
    "text",
    [
        "Use a 10 mm spanner",
        "a 10 mm or 12 mm socket",
        "a 6 mm hex key",
        "size 10 mm",
        "M8 × 25 mm",
        "20 x 30 mm",
        "20 mm x 30 mm",
        "±0.05 mm",
        "25 ± 2 N·m",
        "6 mm² of copper",
        "3 m/s²",
        "5 l/100 km",
        "5 l / 100 km",
        "2.4 g/s",
        "1/2 inch drive",
        "10 mm-bolt",
        "the 1.6 l engine",
        "12.5 V and 40 mA for 10 min",
        "Put 3 in the box, 4 at once",
        "4 gal, 2 qt, 3 oz",
        "step 2 100 kPa",
        "tighten 25Nm",
        "1.2.3 mm",
        "1.1 bar (16 psi) as marked",
        "16 psi / 1.1 bar",
    ],
)
def test_what_may_be_something_else_is_left_alone(text: str) -> None:
    assert both(text) == text


@pytest.mark.parametrize(
    "told",
    [
        "bei 98 °C (208 °F)",
        "bei etwa 98 °C (208 °F)",
        "zwischen 80 und 150 °C (176 und 302 °F)",
        "bei 1,1 bar (16 psi) oder mehr",
        "über 20 °C wärmer",
        "Abweichung unter 5 °C",
        "Anstieg um 20 °C bis 30 °C",
        "10 mm Ringschlüssel",
        "10 mm-Schraube",
        "Schlüsselweite 10 mm",
        "der 1,6 l Motor",
        "1,1 bar oder 16 psi",
        "a 10 mm spanner",
    ],
)
def test_words_of_another_language_tell_as_much(told: str) -> None:
    assert both(re.sub(r" \([^)]*\)", "", told), "de_CH") == told


@pytest.mark.parametrize(
    ("text", "locale", "told"),
    [
        ("1.500 km", "de", "1.500 km (932 mi)"),
        ("1.500 km", "en_GB", "1.500 km (0.932 mi)"),
        ("1,500 km", "en_US", "1,500 km (932 mi)"),
        ("1,5 bar", "de", "1,5 bar (22 psi)"),
        ("0,4 mm", "de_AT", "0,4 mm (0,016 in)"),
        ("1,500 km", "fr", "1,500 km (0,932 mi)"),
        ("1.500 km", "fr", "1.500 km"),
    ],
)
def test_numbers_are_read_and_written_by_the_language(text: str, locale: str, told: str) -> None:
    assert both(text, locale) == told


def test_number_too_long_to_be_a_measurement_is_left_alone() -> None:
    assert both(f"{'9' * 400} km") == f"{'9' * 400} km"


BACK_AND_FORTH = ["25 N·m", "1.1 bar", "250 kPa", "100 km/h", "500 km", "4 kg", "5 l", "250 ml", "3 m"]


@pytest.mark.parametrize("written", BACK_AND_FORTH)
def test_there_and_back_gives_what_was_written(written: str) -> None:
    (there,) = quantities(written, "en_GB")
    (back,) = quantities(there.other.replace("\u00a0", " "), "en_GB")
    figure = parse_figure(back.other.partition("\u00a0")[0], "en_GB")
    assert figure
    assert figure[0] == pytest.approx(float(written.partition(" ")[0]) / (100 if "kPa" in written else 1), rel=0.05)


@given(st.text("0123456789 .,-–±×/°CNm·barkslgto\u00a0()", max_size=60))
@example("0 bar, -0.0 mm, 00 km")
def test_any_text_can_be_looked_through(text: str) -> None:
    end = 0
    for quantity in quantities(text, "en_GB"):
        assert end <= quantity.start < quantity.end <= len(text)
        assert quantity.other
        end = quantity.end
