"""The words and signs with which people write units, fractions and "not known"."""

from __future__ import annotations

from typing import Final

LENGTH_UNITS: Final[dict[str, tuple[str, ...]]] = {
    "in": (
        "in", "ins", "inch", "inches", "inchs", '"', "zoll", "pulg", "pulgada", "pulgadas",
        "pouce", "pouces", "po", "pollici", "duim",
    ),
    "ft": ("ft", "foot", "feet", "'", "fuss", "pie", "pies", "pied", "pieds", "piedi", "voet"),
    "mm": (
        "mm", "mms", "millimetre", "millimetres", "millimeter", "millimeters", "milimetro",
        "milimetros",
    ),
    "cm": (
        "cm", "cms", "centimetre", "centimetres", "centimeter", "centimeters", "zentimeter",
        "centimetro", "centimetros",
    ),
    "m": ("m", "mt", "mts", "mtr", "mtrs", "metre", "metres", "meter", "meters", "metro", "metros"),
}  # fmt: skip
MASS_UNITS: Final[dict[str, tuple[str, ...]]] = {
    "lb": ("lb", "lbs", "#", "pound", "pounds", "libra", "libras"),
    "kg": (
        "kg", "kgs", "kilo", "kilos", "kilogram", "kilograms", "kilogramm", "kilogramme",
        "kilogrammes", "kilogramo", "kilogramos", "kilogrammo",
    ),
    "g": ("g", "gr", "gram", "grams", "gramm", "gramme", "grammes", "gramo", "gramos"),
    "t": ("tonne", "tonnes", "tonelada", "toneladas"),
    "oz": ("oz", "ounce", "ounces"),
}  # fmt: skip
# Words for "nobody knows", without accents, capitals and stops.
# fmt: off
NOT_KNOWN: Final = frozenset((
    "?", "??", "???", "tbc", "tbd", "tba", "n/a", "na", "#n/a", "nan", "n.a", "n.v.t", "k.a",
    "ka", "s/d", "sd", "n.d", "nd", "nc", "n.c", "-", "--", "---", "_", ".", "..", "...", "x",
    "xx", "xxx", "unknown", "unk", "none", "null", "nil", "offen", "fehlt", "unbekannt",
    "unklar", "desconocido", "pendiente", "inconnu", "idk", "unweighed",
    "not known", "not weighed", "to weigh", "to be confirmed", "to be weighed", "no idea",
    "keine angabe", "nicht gewogen", "nicht bekannt", "sin dato", "sin datos", "sin pesar",
    "por confirmar", "por pesar", "por definir", "a confirmar", "a confirmer", "a peser",
    "non pese", "non connu", "to do", "to check", "see scale",
))
# fmt: on

VULGAR: Final = {
    "½": "1/2", "¼": "1/4", "¾": "3/4", "⅓": "1/3", "⅔": "2/3", "⅛": "1/8", "⅜": "3/8",
    "⅝": "5/8", "⅞": "7/8", "⅕": "1/5", "⅖": "2/5", "⅗": "3/5", "⅘": "4/5", "⅙": "1/6", "⅚": "5/6",
}  # fmt: skip
# Signs that look alike, by what each stands for.
_LOOKS: Final = {
    "'": (0x2032, 0x2019, 0x2018, 0xB4, 0x60, 0x2B9, 0x2035),
    '"': (0x2033, 0x201C, 0x201D, 0x201E, 0x201F, 0x3003, 0x2BA),
    "-": (0x2010, 0x2011, 0x2012, 0x2013, 0x2014, 0x2015, 0x2212),
    " ": (0xA0, 0x2002, 0x2003, 0x2007, 0x2009, 0x200A, 0x202F, 0x09, 0x0A, 0x0D),
    "/": (0x2044, 0x2215),
    "": (0x200B, 0xFEFF),
}
ALIKE: Final = {sign: plain for plain, signs in _LOOKS.items() for sign in signs}
