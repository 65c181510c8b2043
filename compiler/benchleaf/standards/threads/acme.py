"""General purpose Acme threads by ASME B1.5."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from functools import lru_cache

from benchleaf.record import record
from benchleaf.standards.threads.form import form
from benchleaf.standards.threads.inch import InchWords, inch_size_text, tpi_text
from benchleaf.standards.threads.model import DesignationError, Quantity, SizeLimits, Thread, ThreadLimits
from benchleaf.standards.threads.reading import Reader
from benchleaf.standards.threads.rounding import INCH, figure, power, rounded, size_text
from benchleaf.standards.threads.tables import number, numbers, table

__all__ = ["AcmeRule", "acme_from_words", "acme_sets", "acme_thread"]

_HALF = Fraction(1, 2)


@lru_cache(maxsize=1)
def _series() -> Mapping[Fraction, Fraction]:
    return {number(size): number(tpi) for size, tpi in table("acme")["series"]["rows"].items()}


def acme_sets() -> dict[str, tuple[str, ...]]:
    """The series as designations."""
    return {"Acme": tuple(f"{inch_size_text(size, tpi)}-{tpi_text(tpi)} Acme" for size, tpi in _series().items())}


@record
class AcmeRule:
    """Classes 2G, 3G, 4G: the same words for both sides."""

    words: str

    def limits(self, thread: Thread, inside: bool, engagement: Fraction | None) -> ThreadLimits:
        """Limits of one side."""
        data = table("acme")["classes"]
        row = data["rows"][self.words]
        source, status = data["source"], row["status"]
        size, pitch = thread.major / INCH, thread.pitch / INCH
        by_pitch, by_size = numbers(row["pitch"])
        ground = by_pitch * power(pitch, _HALF) + by_size * power(size, _HALF)
        twice_clearance = 2 * thread.form.clearance(thread.pitch)

        def part(name: str, inches: Fraction, formula: str) -> Quantity:
            return Quantity(f"{name}, class {self.words}", rounded(inches, 4) * INCH, formula, source, status)

        pitch_part = part("pitch-diameter tolerance", ground, f"{row['pitch'][0]} P^(1/2) + {row['pitch'][1]} D^(1/2) in")
        crest = max(pitch / 20, Fraction(5, 1000))
        d, d2, d1 = thread.major, rounded(thread.pitch_diameter / INCH, 4) * INCH, rounded(thread.minor_diameter / INCH, 4) * INCH

        def span(lower: Fraction, upper: Fraction, basic: Fraction, words: str, state: str = status) -> SizeLimits:
            return SizeLimits(lower, upper, words, source, state, basic)

        if inside:
            bore_part = part("minor-diameter tolerance", crest, "0.05 P, at least 0.005 in")
            root_part = part("major-diameter tolerance", twice_clearance / INCH, "twice the clearance")
            root = d + twice_clearance
            return ThreadLimits(
                inside=True,
                tolerance=self.words,
                major=span(
                    root, root + root_part.value, root, f"D + clearance {_in(twice_clearance)}; then + tolerance {_in(root_part.value)}"
                ),
                pitch=span(d2, d2 + pitch_part.value, d2, f"basic pitch diameter {_in(d2)}; then + tolerance {_in(pitch_part.value)}"),
                minor=span(d1, d1 + bore_part.value, d1, f"basic minor diameter {_in(d1)}; then + tolerance {_in(bore_part.value)}"),
                pitch_tolerance=pitch_part.value,
                allowance=Fraction(0),
                basis=(pitch_part, bore_part, root_part),
            )
        allowance = part(
            "allowance", number(row["allowance"]) * power(size, _HALF), f"{row['allowance']} D^(1/2) in, on the pitch diameter"
        )
        crest_part = part("major-diameter tolerance", crest, "0.05 P, at least 0.005 in")
        root_part = part("minor-diameter tolerance", Fraction(3, 2) * ground, "1 1/2 x the pitch-diameter tolerance")
        upper = d2 - allowance.value
        root = d1 - twice_clearance
        return ThreadLimits(
            inside=False,
            tolerance=self.words,
            major=span(d - crest_part.value, d, d, f"major diameter {_in(d)}; then - tolerance {_in(crest_part.value)}"),
            pitch=span(
                upper - pitch_part.value,
                upper,
                d2,
                f"basic pitch diameter {_in(d2)} - allowance {_in(allowance.value)}; then - tolerance {_in(pitch_part.value)}",
            ),
            minor=span(
                root - root_part.value,
                root,
                root,
                f"basic minor diameter {_in(d1)} - clearance {_in(twice_clearance)}; then - tolerance {_in(root_part.value)}",
            ),
            pitch_tolerance=pitch_part.value,
            allowance=allowance.value,
            basis=(allowance, pitch_part, crest_part, root_part),
        )


def _in(value: Fraction) -> str:
    return f"{figure(value / INCH)} in"


def acme_thread(
    size: Fraction,
    tpi: Fraction,
    *,
    starts: int = 1,
    hand: str = "right",
    tolerance: str | None = None,
    named: str = "",
    system: str = "inch",
    notes: tuple[str, ...] = (),
) -> Thread:
    """A general purpose Acme thread of any size (in) and threads per inch."""
    data = table("acme")["classes"]
    shape = form("acme 29")
    pitch = INCH / tpi
    if 2 * shape.design_depth(pitch) >= size * INCH:
        raise DesignationError(
            f"{size_text(tpi)} threads per inch leave no core in a diameter of {size_text(size)} in",
            "check the size and the threads per inch",
        )
    words = (tolerance or data["usual"]).upper()
    if words not in data["rows"]:
        raise DesignationError(
            f"{words[:20]!r} is not a class of general purpose Acme threads", f"the classes are {', '.join(data['rows'])}"
        )
    suffix = [
        *([words] if tolerance is not None else []),
        *([f"{starts}-START"] if starts > 1 else []),
        *(["LH"] if hand == "left" else []),
    ]
    return Thread(
        designation=named or "-".join([f"{inch_size_text(size, tpi)}-{tpi_text(tpi)} Acme", *suffix]),
        family="acme",
        series="Acme",
        form=shape,
        major=size * INCH,
        pitch=pitch,
        starts=starts,
        hand=hand,
        tolerance=words,
        tolerance_given=tolerance is not None,
        system=system,
        pitch_diameter=size * INCH - 2 * shape.addendum(pitch),
        minor_diameter=size * INCH - 2 * shape.basic_depth(pitch),
        root_diameter=size * INCH - 2 * shape.design_depth(pitch),
        rule=AcmeRule(words),
        tpi=tpi,
        notes=notes,
    )


def acme_from_words(reader: Reader, words: InchWords) -> Thread:
    """An Acme thread from the parts of its designation."""
    notes: tuple[str, ...] = ()
    tpi = words.tpi
    if tpi is None:
        tpi = _series().get(words.size)
        if tpi is None:
            raise reader.fault("the threads per inch are missing", "write them after a hyphen: 3/4-6 Acme-2G", *words.spans["size"])
        notes = (f"Acme has {tpi_text(tpi)} threads per inch at this size (ASME B1.5)",)
    elif _series().get(words.size) != tpi:
        notes = (f"{inch_size_text(words.size, tpi)}-{tpi_text(tpi)} is not in the Acme series of ASME B1.5",)
    try:
        return acme_thread(words.size, tpi, starts=words.starts, hand=words.hand, tolerance=words.tolerance, notes=notes)
    except DesignationError as error:
        raise reader.fault(error.message, error.hint, *words.spans.get("tolerance", words.spans["size"])) from None
