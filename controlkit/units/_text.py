"""Reading the number in what a person typed; commas, fractions and feet included."""

from __future__ import annotations

import re
import unicodedata

from controlkit.units._errors import InputError

LONGEST = 60
_NUMBER = re.compile(
    r"[+-]?\s*(?:\d[\d.,]*|[.,]\d+)"
    r"(?: \d{3}(?!\d))*(?:[.,]\d+)?"
    r"(?:[eE][+-]?\d{1,4}(?!\d))?"
)
_FRACTION = re.compile(r"([+-]?)\s*(?:(\d{1,6})[ -]+)?(\d{1,6})\s*/\s*(\d{1,6})(?![\d.,])")
_FEET = re.compile(r"(?:ft\.?|foot|feet|')\s*(?=[\d.,])", re.IGNORECASE)
_INCHES = re.compile(r"(?:in\.?|inch|inches|\"|'')?", re.IGNORECASE)
_PARTS_OF_TIME = re.compile(
    r"([+-]?)\s*"
    r"(?:(\d+)\s*(?:h|hrs?|hours?)\.?)?"
    r"(?:,|\s|and\b)*(?:(\d+(?:[.,]\d+)?)\s*(?:min|mins|minutes?)\.?)?"
    r"(?:,|\s|and\b)*(?:(\d+(?:[.,]\d+)?)\s*(?:s|secs?|seconds?)\.?)?",
    re.IGNORECASE,
)
_GROUPS = re.compile(r"\d{1,3}(?:[.,]\d{3})+")


def clean(text: str) -> str:
    """Bring a typed answer to plain characters.

    Parameters
    ----------
    text : str
        As typed

    Returns
    -------
    str
        The same without outer blanks, with plain digits, minus signs and quotes

    Examples
    --------
    >>> clean("−1½ in ")
    '-1 1/2 in'
    """
    out = []
    for char in text:
        if unicodedata.decomposition(char).startswith("<fraction>"):
            out.append(" " + unicodedata.normalize("NFKC", char).replace("\u2044", "/"))
        elif char in "²³":
            out.append("^" + unicodedata.normalize("NFKC", char))
        else:
            out.append(char)
    text = unicodedata.normalize("NFKC", "".join(out))
    text = "".join(str(unicodedata.decimal(char)) if char.isdecimal() else char for char in text)
    for old, new in (
        ("\u2212", "-"),
        ("\u2013", "-"),
        ("\u2044", "/"),
        ("\u2032\u2032", '"'),
        ("\u2032", "'"),
        ("\u2019", "'"),
        ("\u201d", '"'),
        ("\u03bc", "µ"),
    ):
        text = text.replace(old, new)
    text = re.sub(r"\s+", " ", text).strip()
    return re.sub(r"[;.]$", "", text).strip() if re.search(r"[^\d\s][;.]$", text) else text


def quoted(given: object) -> str:
    """Return what was given, short and in quotation marks, for a message.

    Parameters
    ----------
    given : object
        What was given

    Returns
    -------
    str
        At most 40 printable characters of it in quotation marks
    """
    try:
        text = str(given)[:200]
    except ValueError:  # whole numbers of thousands of digits are not written out
        text = "a number of thousands of digits"
    text = "".join(char if char.isprintable() else " " for char in text).strip()
    return "“" + (text if len(text) <= 40 else text[:39] + "…") + "”"


def decimal(token: str, given: str) -> float:
    """Return the number written with decimal point, decimal comma or thousands marks.

    Parameters
    ----------
    token : str
        The number as written, without its unit
    given : str
        The whole answer, for the message

    Returns
    -------
    float
        The number [-]

    Raises
    ------
    InputError
        If it can be read in two ways, or in none

    Examples
    --------
    >>> decimal("12,5", "12,5 N")
    12.5
    >>> decimal("1,234.5", "1,234.5 N")
    1234.5
    """
    plain = token.replace(" ", "")
    head, mark, tail = plain.partition("e" if "e" in plain else "E")
    sign = head[0] if head[0] in "+-" else ""
    body = head.lstrip("+-")
    commas, points = body.count(","), body.count(".")
    if re.fullmatch(r"[1-9]\d{0,2},\d{3}", body):
        raise InputError(
            given=(
                f"{quoted(given)} can be read in two ways: {sign}{body.replace(',', '.')} or "
                f"{sign}{body.replace(',', '')}."
            ),
            do=(
                f"Write {sign}{body.replace(',', '.')} or {sign}{body.replace(',', '')}, with a point for the decimals "
                "and no thousands mark."
            ),
        )
    if commas and points:
        last = max(body.rfind(","), body.rfind("."))
        front, rest = body[:last], body[last + 1 :]
        marks = set(re.findall(r"[.,]", front))
        if len(marks) == 1 and body[last] not in marks and _GROUPS.fullmatch(front):
            body = re.sub(r"[.,]", "", front) + "." + rest
        else:
            raise _unclear(given)
    elif commas + points > 1:
        if not _GROUPS.fullmatch(body):
            raise _unclear(given)
        body = re.sub(r"[.,]", "", body)
    else:
        body = body.replace(",", ".")
    return float(sign + body + mark + tail)


def split(text: str, given: str, *, kind: str = "", example: str = "12.5 N") -> tuple[float, str]:
    """Split an answer into its number and its unit.

    Parameters
    ----------
    text : str
        The answer after `clean`
    given : str
        The answer as typed, for the message
    kind : str
        Kind of quantity: of a length feet and inches may stand together, of a time hours, minutes and seconds
    example : str
        An answer as it should look, for the message

    Returns
    -------
    number : float
        The number [-]
    unit : str
        What stands behind it; may be empty

    Raises
    ------
    InputError
        If there is no number, more than one, or one that can be read in two ways

    Examples
    --------
    >>> split("1 1/2 in", "1 1/2 in")
    (1.5, 'in')
    >>> split("5 ft 11 in", "5 ft 11 in", kind="length")
    (71.0, 'in')
    >>> split("8 min 31 s", "8 min 31 s", kind="time")
    (511.0, 's')
    """
    number, rest = _leading(text, given, example)
    if kind == "time" and (parts := _PARTS_OF_TIME.fullmatch(text)) and parts.groups().count(None) < 2:
        return _seconds(parts, given), "s"
    feet = _FEET.match(rest) if kind == "length" else None
    if feet:
        inches, unit = _leading(rest[feet.end() :], given, example)
        if _INCHES.fullmatch(unit):
            return 12.0 * number + (-inches if text.startswith("-") else inches), "in"
    if re.match(r"(?:[-+]|±|to\b|bis\b|,|/|and\b|or\b)?\s*\d", rest) or "±" in rest:
        raise InputError(
            given=f"{quoted(given)} holds more than one number.",
            do=f"Write a single number with its unit, for example “{example}”.",
        )
    return number, rest


def _seconds(parts: re.Match[str], given: str) -> float:
    """Return hours, minutes and seconds that stand together, as seconds."""
    sign, *written = parts.groups()
    hours, minutes, seconds = (0.0 if one is None else decimal(one, given) for one in written)
    broken = written[2] is not None and minutes % 1.0 > 0.0
    if broken or seconds >= 60.0 or (written[0] is not None and minutes >= 60.0):
        raise InputError(
            given=f"{quoted(given)} has a part of a minute, or 60 and more, beside another unit of time.",
            do="Write one number with its unit, for example “8.5 min”, or parts such as “8 min 30 s”.",
        )
    size = 3600.0 * hours + 60.0 * minutes + seconds
    return -size if sign == "-" else size


def _leading(text: str, given: str, example: str) -> tuple[float, str]:
    """Return the number at the start of the text, and what follows it."""
    fraction = _FRACTION.match(text)
    if fraction:
        sign, whole, top, bottom = fraction.groups()
        if int(bottom) == 0:
            raise InputError(
                given=f"{quoted(given)} divides by zero.",
                do="Write a number, for example “12.5”.",
            )
        size = int(whole or 0) + int(top) / int(bottom)
        return (-size if sign == "-" else size), text[fraction.end() :].strip()
    match = _NUMBER.match(text)
    if match is None:
        raise _no_number(text, given, example)
    return decimal(match.group(), given), text[match.end() :].strip()


def _no_number(text: str, given: str, example: str) -> InputError:
    unit = "" if re.fullmatch(r"[\d.]+", example) else ", then the unit"
    if re.search(r"\d", text):
        return InputError(
            given=f"{quoted(given)} does not start with a number.",
            do=f"Write the number first{unit}, for example “{example}”.",
        )
    if text.casefold().lstrip("+-") in ("nan", "inf", "infinity", "∞"):
        return InputError(
            given=f"{quoted(given)} is not a size that can be measured.",
            do="Look at the calculation before it (a division by zero?) and give a number.",
        )
    return InputError(
        given=f"There is no number in {quoted(given)}.",
        do=f"Write the number in digits{unit}, for example “{example}”.",
    )


def _unclear(given: str) -> InputError:
    return InputError(
        given=f"The points and commas in {quoted(given)} do not make one number.",
        do="Write it with one point for the decimals and no thousands marks, for example “1234.5”.",
    )
