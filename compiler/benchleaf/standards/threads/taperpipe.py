"""Taper pipe threads: R, Rc and Rp by ISO 7-1, NPT by ASME B1.20.1.  Diameters hold at the gauge plane."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from functools import lru_cache

from benchleaf.record import record
from benchleaf.standards.threads.form import Form, form
from benchleaf.standards.threads.inch import InchWords, fraction_text, tpi_text
from benchleaf.standards.threads.model import DesignationError, Quantity, SizeLimits, Thread, ThreadLimits
from benchleaf.standards.threads.pipe import check_size, pipe_size, whitworth_pipe_sizes
from benchleaf.standards.threads.reading import MIXED, Reader
from benchleaf.standards.threads.rounding import INCH, figure, rounded
from benchleaf.standards.threads.tables import number, numbers, table

__all__ = ["TaperPipeRule", "bspt_from_words", "npt_from_words", "read_taper_pipe", "taper_sets"]


@lru_cache(maxsize=1)
def _iso_rows() -> Mapping[Fraction, tuple[Fraction, ...]]:
    return {number(size): numbers(row) for size, row in table("pipe")["taper"]["rows"].items()}


@lru_cache(maxsize=1)
def _npt_rows() -> Mapping[Fraction, tuple[Fraction, ...]]:
    return {number(size): numbers(row) for size, row in table("pipe")["npt"]["rows"].items()}


def taper_sets() -> dict[str, tuple[str, ...]]:
    """The series as designations."""
    return {
        "BSPT": tuple(f"R {fraction_text(size)}" for size in _iso_rows()),
        "NPT": tuple(f"{fraction_text(size)}-{tpi_text(tpi)} NPT" for size, (_, tpi, _) in _npt_rows().items()),
    }


@record
class TaperPipeRule:
    """The gauge plane may stand off by ``axial`` mm either way, which is axial x slope on every diameter.

    ``side`` is 'outside', 'inside' or 'both'.
    """

    axial: Fraction
    slope: Fraction
    side: str
    source: str
    status: str

    def limits(self, thread: Thread, inside: bool, engagement: Fraction | None) -> ThreadLimits:
        """Limits at the gauge plane; raises DesignationError when the letter is of the other side."""
        if self.side != "both" and (self.side == "inside") is not inside:
            wanted = "Rc (taper) or Rp (parallel)" if inside else "R"
            raise DesignationError(
                f"{thread.designation} is an {self.side} thread, but it is wanted {'inside' if inside else 'outside'}",
                f"{'inside' if inside else 'outside'} pipe threads are {wanted}",
            )
        off = self.axial * self.slope
        part = Quantity(
            "diameter tolerance, plus or minus",
            off,
            f"gauge plane within {figure(self.axial, 3)} mm, times the taper",
            self.source,
            self.status,
        )

        def span(basic: Fraction, what: str) -> SizeLimits:
            words = f"{what} at the gauge plane {figure(basic, 3)}, plus or minus {figure(off, 3)}"
            return SizeLimits(basic - off, basic + off, words, self.source, self.status, basic)

        return ThreadLimits(
            inside=inside,
            tolerance="plus or minus one turn" if self.source.startswith("ASME") else "ISO 7-1",
            major=span(thread.major, "major diameter"),
            pitch=span(thread.pitch_diameter, "pitch diameter"),
            minor=span(thread.minor_diameter, "minor diameter"),
            pitch_tolerance=2 * off,
            allowance=Fraction(0),
            basis=(part,),
            notes=()
            if not thread.taper
            else ("diameters are at the gauge plane; gauge the thread, or the mating fitting, by how far it screws on",),
        )


def _thread(
    designation: str,
    family: str,
    series: str,
    shape: Form,
    sizes: tuple[Fraction, Fraction, Fraction],
    tpi: Fraction,
    hand: str,
    taper: Fraction,
    rule: TaperPipeRule,
    figures: tuple[Quantity, ...],
    size: Fraction,
) -> Thread:
    major, pitch_diameter, minor = sizes
    where = "at the gauge plane" if taper else "all along"
    return Thread(
        designation=designation + ("-LH" if hand == "left" else ""),
        family=family,
        series=series,
        form=shape,
        major=major,
        pitch=INCH / tpi,
        starts=1,
        hand=hand,
        tolerance="",
        tolerance_given=False,
        system="inch",
        pitch_diameter=pitch_diameter,
        minor_diameter=minor,
        root_diameter=minor,
        rule=rule,
        tpi=tpi,
        taper=taper,
        size_is_nominal_bore=True,
        figures=figures,
        notes=(f"{fraction_text(size)} in {designation} is the bore of the pipe: over the crests it is {figure(major, 3)} mm {where}",),
    )


def _iso(letter: str, size: Fraction, hand: str) -> Thread:
    data = table("pipe")["taper"]
    slope = number(data["slope"])
    gauge, axial, useful, inside_axial = _iso_rows()[size]
    major, pitch_diameter, minor, tpi = whitworth_pipe_sizes(size)
    side = "outside" if letter == "R" else "inside"
    status = "published" if size <= 2 else "from memory"

    def figure_of(name: str, value: Fraction, formula: str) -> Quantity:
        return Quantity(name, value, formula, "ISO 7-1", status)

    figures = (
        figure_of("gauge length", gauge, "table"),
        figure_of("useful length", useful, "table, for the basic gauge length"),
        figure_of("major diameter at the small end", major - gauge * slope, "gauge diameter - gauge length x taper"),
    )
    rule = TaperPipeRule(axial if letter == "R" else inside_axial, slope, side, "ISO 7-1 gauge-plane tolerance", "from memory")
    return _thread(
        f"{letter} {fraction_text(size)}",
        "pipe taper",
        letter,
        form("whitworth 55"),
        (major, pitch_diameter, minor),
        tpi,
        hand,
        Fraction(0) if letter == "Rp" else slope,
        rule,
        figures if letter == "R" else (),
        size,
    )


def _npt(size: Fraction, hand: str) -> Thread:
    """NPT at the hand-tight plane: E1 = E0 + L1/16, E0 = D - (0.05 D + 1.1) P, crests and roots 0.8 P apart (inches)."""
    data = table("pipe")["npt"]
    slope = number(data["slope"])
    outside, tpi, engaged = _npt_rows()[size]
    pitch = 1 / tpi
    small_end = rounded(outside - (outside / 20 + Fraction(11, 10)) * pitch, 5)
    pitch_diameter = rounded(small_end + engaged * slope, 5)
    height = Fraction(4, 5) * pitch
    useful = (Fraction(4, 5) * outside + Fraction(34, 5)) * pitch
    status = "published" if size <= 2 else "from memory"

    def figure_of(name: str, inches: Fraction, formula: str) -> Quantity:
        return Quantity(name, inches * INCH, formula, "ASME B1.20.1", status)

    figures = (
        figure_of("hand-tight engagement L1", engaged, "table"),
        figure_of("effective thread length L2", rounded(useful, 4), "(0.80 D + 6.8) P"),
        figure_of("pitch diameter at the small end E0", small_end, "D - (0.05 D + 1.1) P"),
        figure_of("outside diameter of the pipe", outside, "table"),
    )
    rule = TaperPipeRule(pitch * INCH, slope, "both", "ASME B1.20.1: one turn either way", "standard")
    sizes = ((pitch_diameter + height) * INCH, pitch_diameter * INCH, (pitch_diameter - height) * INCH)
    return _thread(
        f"{fraction_text(size)}-{tpi_text(tpi)} NPT", "pipe taper", "NPT", form("npt 60"), sizes, tpi, hand, slope, rule, figures, size
    )


def read_taper_pipe(reader: Reader) -> Thread | None:
    """Read 'R 1/2', 'Rc 3/4', 'Rp 1/2-LH'; None when the text is not of this family."""
    head = reader.take(rf"(?P<letter>R[cp]?)\s*(?={MIXED})")
    if head is None:
        return None
    letter = head.group("letter").capitalize()
    size, _ = pipe_size(reader, _iso_rows(), letter)
    hand = "right"
    reader.skip()
    while not reader.done:
        match = reader.take(r"(LH|RH)\b")
        if match is None:
            word, _ = reader.word()
            raise reader.fault(f"{word[:20]!r} means nothing after a taper pipe size", "after the size only LH for left hand")
        hand = "left" if match.group(1).upper() == "LH" else "right"
        reader.skip()
    return _iso(letter, size, hand)


def bspt_from_words(reader: Reader, words: InchWords) -> Thread:
    """'1/2 BSPT' as the outside taper thread R 1/2."""
    check_size(reader, words.size, _iso_rows(), "R", words.spans["size"])
    tpi = whitworth_pipe_sizes(words.size)[3]
    if words.tpi not in (None, tpi):
        raise reader.fault(f"{fraction_text(words.size)} BSPT has {tpi_text(tpi)} threads per inch", "leave them out", *words.spans["tpi"])
    return _iso("Rc" if words.side == "nut" else "R", words.size, words.hand)


def npt_from_words(reader: Reader, words: InchWords) -> Thread:
    """'1/2-14 NPT' or '1/2 NPT'."""
    check_size(reader, words.size, _npt_rows(), "NPT", words.spans["size"])
    tpi = _npt_rows()[words.size][1]
    if words.tpi not in (None, tpi):
        raise reader.fault(f"{fraction_text(words.size)} NPT has {tpi_text(tpi)} threads per inch", "leave them out", *words.spans["tpi"])
    return _npt(words.size, words.hand)
