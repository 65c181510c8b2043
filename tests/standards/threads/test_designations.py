"""What is accepted as a designation, what is printed for it, and what is said when it cannot be read."""

from __future__ import annotations

from fractions import Fraction

import pytest

from benchleaf.standards.threads import DesignationError, known_sets, parse_designation

INCH = Fraction(127, 5)


@pytest.mark.parametrize(
    ("written", "printed"),
    [
        # ISO 965-1
        ("M10", "M10x1.5"), ("M10 x 1.5", "M10x1.5"), ("m10x1.5", "M10x1.5"), ("M10×1.5-6g", "M10x1.5-6g"), ("M1.6", "M1.6x0.35"), ("  M8 ", "M8x1.25"),
        ("M10x1-6g-LH", "M10x1-6g-LH"), ("M20x1.5-LH", "M20x1.5-LH"), ("M10–4g6g", "M10x1.5-4g6g"), ("M10-6H/6g", "M10x1.5-6H/6g"), ("M10 6g LH", "M10x1.5-6g-LH"),
        ("M20x2-7g6g-L-LH", "M20x2-7g6g-L-LH"), ("M16xPh3P1.5", "M16xPh3P1.5"), ("M14xPh6P2-7H-L-LH", "M14xPh6P2-7H-L-LH"), ("M16xPh3P1.5 (two starts)", "M16xPh3P1.5"),
        ("M100x6", "M100x6"), ("M64", "M64x6"),
        # ASME B1.1
        ("10-32 UNF-2A", "10-32 UNF-2A"), ("0.190-32", "10-32 UNF"), ("#10-32", "10-32 UNF"), ("No. 10-32 UNF", "10-32 UNF"), ("0-80", "0-80 UNF"),
        ("1/4-20 UNC-2B", "1/4-20 UNC-2B"), ('1/4"-20UNC', "1/4-20 UNC"), ("1/4 UNC", "1/4-20 UNC"), ("UNC 1/4-20", "1/4-20 UNC"), ("1/4 x 20 UNC", "1/4-20 UNC"),
        ("¼-20 UNC", "1/4-20 UNC"), ("1 1/8-16 UN-2B", "1 1/8-16 UN-2B"), ("1-1/8-16 UN", "1 1/8-16 UN"), ("1.125-16 UN", "1 1/8-16 UN"), ("1⅛-16 UN", "1 1/8-16 UN"),
        ("1 1/4-8UN-2A", "1 1/4-8 UN-2A"), ("1 1/4 8-UN", "1 1/4-8 UN"), ("2 1/2-10 UNS-2A", "2 1/2-10 UNS-2A"), ("1.035-40 UNS-2B", "1.035-40 UNS-2B"),
        ("6-10 UNS-2A", "6-10 UNS-2A"), ("2-4 1/2 UNC", "2-4 1/2 UNC"), ("1/4-20 UNRC-3A-LH", "1/4-20 UNRC-3A-LH"), ("1/4-20 UNC 2a lh", "1/4-20 UNC-2A-LH"),
        ("3/4-16 UNF-2A 2-START", "3/4-16 UNF-2A-2-START"), ("3/4-.0625P-.125L (2 STARTS) UNF-2A", "3/4-16 UNF-2A-2-START"),
        # the rest
        ("1/2 BSW", "1/2-12 BSW"), ("2-4 1/2 BSW", "2-4 1/2 BSW"), ("1/4-20 BSW medium bolt", "1/4-20 BSW medium"), ("B.S.F. 3/8", "3/8-20 BSF"), ("3/8 brass", "3/8-26 brass"),
        ("1/4x40 ME", "1/4-40 ME"), ("1/4-26 BSC", "1/4-26 BSC"), ("1.02-26 Whit", "1.02-26 Whit"), ("G1/2A", "G 1/2 A"), ("G 1/2 B-LH", "G 1/2 B-LH"), ("1/2 BSP", "G 1/2"),
        ('1/2" BSPP', "G 1/2"), ("1/2-14 BSP", "G 1/2"), ("1/2 BSPT", "R 1/2"), ("Rc 3/4", "Rc 3/4"), ("Rp1/2", "Rp 1/2"), ("1/2 NPT", "1/2-14 NPT"), ("1-11 1/2 NPT", "1-11 1/2 NPT"),
        ("2BA", "2 BA"), ("BA 2", "2 BA"), ("2 BA close bolt", "2 BA close"), ("Tr40x14(P7)LH-7e", "Tr40x14(P7)LH-7e"), ("Tr 40 x 14 P7 - LH", "Tr40x14(P7)LH"), ("Tr20x4-7H", "Tr20x4-7H"),
        ("3/4-6 ACME-2G-LH", "3/4-6 Acme-2G-LH"), ("3/4 Acme", "3/4-6 Acme"), ("1-5 square", "1-5 square"), ("Sq 24x5", "Sq 24x5"), ("S48x16(P8)LH", "S48x16(P8)LH"),
        ("2 1/2-8 BUTT", "2 1/2-8 buttress"), ("worm module 1 x 2 starts", "worm module 1 x 2 starts"), ("worm 20 DP, 1.1 in outside, LH", "worm 20 DP, 1.1 in outside, LH"),
        ("Whitworth, 1.02 in x 26 TPI", "1.02-26 Whit"), ("square, 1 in x 5 TPI, 2 starts", "square, 1 in x 5 TPI, 2 starts"),
    ],
)  # fmt: skip
def test_accepted_spellings(written: str, printed: str) -> None:
    thread = parse_designation(written)
    assert thread.designation == printed
    again = parse_designation(printed)
    assert again == thread
    assert again.designation == printed


@pytest.mark.parametrize(
    ("written", "words", "message", "hint"),
    [
        ("M100", "100", "no coarse pitch above M68", "M100x6"),
        ("M15", "15", "M15 has no coarse pitch", "M15x1.5"),
        ("M13", "13", "not a listed diameter", "M12 or M14"),
        ("M10-1.5", "1.5", "not a tolerance class", "M10x1.5"),
        ("M10-5g", "5g", "grades 4, 6, 8", "5g6g"),
        ("M10-6k", "6k", "positions e, f, g, h", "small letters"),
        ("M10-2g", "2g", "grades 3 to 9", "6"),
        ("M10-6g/6H", "6g/6H", "a fit is the inside class", "6H/6g"),
        ("M10x15", "10x15", "leaves no core", "check the pitch"),
        ("M10xPh3", "", "several starts is missing", "P"),
        ("M16xPh1.5P3", "3", "not a whole number of pitches", "the lead stands first"),
        ("M0", "0", "more than nought", ""),
        ("1/4-0", "0", "more than nought", ""),
        ("1/0-20", "1/0", "more than nought", ""),
        ("1/2-14 UNC", "UNC", "not in the UNC series", "UNC has 13"),
        ("1/2-12 UNC", "UNC", "not in the UNC series", "1/2-12 UNS"),
        ("1/4-20 UNG", "UNG", "means nothing", "did you mean"),
        ("1/2 UNC-6g", "6g", "not a class of Unified threads", "2A"),
        ("#7-32", "#7", "no numbered size 7", "6, 8"),
        ("1 1/8-16 12-UN", "12-UN", "series of 12 threads per inch, not 16", "one of the two"),
        ("1/2-12", "1/2-12", "does not say which series", "1/2-12 BSW"),
        ("1/4-26", "1/4-26", "does not say which series", "1/4-26 BSF"),
        ("1/4x40", "1/4x40", "does not say which series", "1/4x40 ME"),
        ("10x1.5", "10x1.5", "does not say what kind", "M10x1.5"),
        ("15x0.5", "0.5", "is not an inch thread", "M15x0.5"),
        ("1/2-16 BSW", "BSW", "not in the BSW series", "1/2-16 BSF"),
        ("1/4 ME", "1/4", "threads per inch are missing", "40 or 32"),
        ("3/8-32 brass", "brass", "26 threads per inch at every diameter", "3/8-26 brass"),
        ("G 9/16", "9/16", "not a listed pipe size", "1/2 and 5/8"),
        ("1/2-12 BSP", "12", "has 14 threads per inch", "leave them out"),
        ("26 BA", "26", "there is no 26 BA", "25"),
        ("Tr40", "40", "pitch of a trapezoidal thread must be written", "Tr40x7"),
        ("Tr40x15(P7)", "15(P7)", "not a whole number of pitches", "the lead stands first"),
        ("Tr40x7-6g", "6g", "not a class of trapezoidal", "7e"),
        ("3/4-6 Acme-2A", "2A", "not a class of general purpose Acme", "2G"),
        ("whitwort, 1 in x 8 TPI", "whitwort", "no form of thread", "whitworth"),
        ("square, 10 mm x 40 mm", "10 mm x 40 mm", "leaves no core", "check"),
        ("worm", "", "module or diametral pitch", "module 1"),
        ("half inch gas", "half inch gas", "not a thread designation", "M10x1.5-6g"),
        ("", "", "not named", "M10x1.5-6g"),
        ("M" * 90, "M" * 90, "at most 80 characters", ""),
    ],
)  # fmt: skip
def test_faults_name_the_words_and_the_mending(written: str, words: str, message: str, hint: str) -> None:
    with pytest.raises(DesignationError) as caught:
        parse_designation(written)
    error = caught.value
    assert message in error.message
    assert hint in error.hint
    assert written[error.offset : error.offset + error.length] == words
    assert not error.message.endswith(".")


def test_places_are_those_of_the_text_as_written() -> None:
    """A vulgar fraction is one sign on paper and three when it is read."""
    with pytest.raises(DesignationError) as caught:
        parse_designation("1½-20 UNG")
    assert (caught.value.offset, caught.value.length) == (6, 3)


@pytest.mark.parametrize(
    ("designation", "inside", "hint"),
    [("M10x1.5-6g", True, "6H"), ("M10x1.5-6H", False, "6g"), ("1/4-20 UNC-2A", True, "2B"), ("1/4-20 UNC-3B", False, "3A"), ("G 1/2 A", True, "G 1/2"), ("R 1/2", True, "Rc"),
     ("Rc 1/2", False, "R"), ("2 BA normal", True, "2 BA"), ("Tr20x4-7H", False, "7e"), ("1/2-12 BSW normal", False, "close, medium, free")],
)  # fmt: skip
def test_a_class_of_the_other_side_is_refused(designation: str, inside: bool, hint: str) -> None:
    with pytest.raises(DesignationError) as caught:
        parse_designation(designation).limits(inside)
    assert hint in caught.value.hint


def test_size_alone_is_settled_by_the_series_with_a_note() -> None:
    assert parse_designation("7/8-14 UN").series == "UNF"  # ASME B1.1: a listed pair is of its graded series
    assert "UNF" in parse_designation("7/8-14 UN").notes[0]
    assert parse_designation("1/4-20").series == "UNC"
    assert "BSW" in parse_designation("1/4-20").notes[0]
    assert parse_designation("19/64-36").series == "UNS"
    assert not parse_designation("1/4-20 UNC").notes


def test_numbered_sizes_are_told_from_inches() -> None:
    """ASME B1.1: number n is 0.060 + 0.013 n in; six inches is not number six."""
    assert parse_designation("6-32 UNC").major == Fraction(138, 1000) * INCH
    assert parse_designation("6-10 UNS").major == 6 * INCH
    assert parse_designation("1-8 UNC").major == INCH
    assert parse_designation("1-64 UNC").major == Fraction(73, 1000) * INCH
    assert parse_designation("10.0-20 UNS").major == 10 * INCH
    assert parse_designation("3-5 BSF").major == 3 * INCH  # numbers are Unified sizes only
    assert parse_designation("3-40 Whit").major == 3 * INCH


def test_sets_that_others_ask_for_are_there() -> None:
    assert {"metric coarse", "metric fine", "UNC", "UNF", "UNEF", "BSW", "BSF", "BA", "brass 26", "BSP"} <= set(known_sets())
