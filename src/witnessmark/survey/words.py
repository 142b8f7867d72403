"""The words a survey may use where the set is closed. “don't know” is one of them nearly everywhere."""

from enum import StrEnum


class PieceKind(StrEnum):
    CHEST = "chest"
    SIDEBOARD = "sideboard"
    TABLE = "table"
    CHAIR = "chair"
    BOX = "box"
    BOOKCASE = "bookcase"
    BED = "bed"
    MIRROR = "mirror"
    OTHER = "other"


class Came(StrEnum):
    """How the piece came in."""

    BOUGHT = "bought"
    CUSTOMER = "customer's"
    OWN = "shop's own"
    UNKNOWN = "don't know"


class CameFrom(StrEnum):
    """Where it stood, since that decides whether it must first come into condition."""

    HOUSE = "heated house"
    COLD_HOUSE = "cold house"
    SHOP = "shop"
    BARN = "barn"
    VAN = "cold van"
    UNKNOWN = "don't know"


class Region(StrEnum):
    """Where it was made."""

    UK = "UK"
    US = "US"
    FRANCE = "FR"
    GERMANY = "DE"
    ANY = "any"

    @classmethod
    def _missing_(cls, value: object) -> "Region | None":
        return cls.ANY if value == "don't know" else None


class ReadingAbout(StrEnum):
    """What a reading is for."""

    DATE = "date"
    WOOD = "wood"


class YesNo(StrEnum):
    YES = "yes"
    NO = "no"
    UNKNOWN = "don't know"


class OldFinish(StrEnum):
    """What is on it now. Keys of the coatings in words; “none” is bare wood."""

    SHELLAC = "shellac"
    FRENCH_POLISH = "french polish"
    WAX = "wax"
    OIL = "oil"
    OIL_VARNISH = "oil varnish"
    SPIRIT_VARNISH = "spirit varnish"
    LACQUER = "nitrocellulose lacquer"
    POLYURETHANE = "polyurethane"
    ALKYD = "alkyd varnish"
    OIL_PAINT = "oil paint"
    MILK_PAINT = "milk paint"
    GILDING = "gilding"
    NONE = "none"
    UNKNOWN = "don't know"


class Shape(StrEnum):
    """What a part is like, which decides how its surface is reckoned."""

    BOARD = "board"
    PANEL = "panel"
    FRAME = "frame"
    TURNED = "turned"
    MOULDING = "moulding"
    CARVED = "carved"
    HARDWARE = "hardware"
    GLASS = "glass"
    MIRROR = "mirror"
    CLOTH = "cloth"
    LEATHER = "leather"
    UNKNOWN = "don't know"


class Sawn(StrEnum):
    FLAT = "flat"
    QUARTER = "quarter"
    UNKNOWN = "don't know"


class Carving(StrEnum):
    LIGHT = "light"
    MEDIUM = "medium"
    DEEP = "deep"


class JointState(StrEnum):
    TIGHT = "tight"
    LOOSE = "loose"
    OPEN = "open"
    DONT_OPEN = "don't open"
    UNKNOWN = "don't know"


class Held(StrEnum):
    """What holds a joint. Several may."""

    GLUED = "glued"
    PEGGED = "pegged"
    WEDGED = "wedged"
    WEDGED_ABOVE = "wedged from above"
    NAILED = "nailed"
    SCREWED = "screwed"
    BOLTED = "bolted"
    HOOKED = "hooked"
    SLIDES = "slides"
    CAPTURED = "captured"
    RESTS = "rests"
    UNKNOWN = "don't know"


class Way(StrEnum):
    """A direction, as you face the piece."""

    UP = "up"
    DOWN = "down"
    LEFT = "left"
    RIGHT = "right"
    FORWARD = "forward"
    BACK = "back"
    UNKNOWN = "don't know"


class FixingKind(StrEnum):
    SCREW = "screw"
    NAIL = "nail"
    BOLT = "bolt"
    PEG = "peg"
    WEDGE = "wedge"
    PIN = "pin"
    PLATE = "plate"
    BLOCK = "glue block"
    OTHER = "other"
    UNKNOWN = "don't know"


class Ends(StrEnum):
    """How a fixing ends. Nothing is called together while one is open."""

    OPEN = "open"
    BACK = "back"
    NOT_BACK = "not going back"
    REPLACED = "replaced"


class Severity(StrEnum):
    SLIGHT = "slight"
    MODERATE = "moderate"
    MAJOR = "major"
    UNKNOWN = "don't know"


class Use(StrEnum):
    """What the piece must stand up to afterwards."""

    DAILY = "daily"
    LIGHT = "light"
    DISPLAY = "display"
    UNKNOWN = "don't know"


class Sheen(StrEnum):
    DULL = "dull"
    SATIN = "satin"
    GLOSS = "gloss"
    UNKNOWN = "don't know"


class Keep(StrEnum):
    """What the owner most wants kept."""

    SURFACE = "old surface"
    COLOUR = "colour"
    PAINT = "paint"
    NOTHING = "nothing"
    UNKNOWN = "don't know"


class Seen(StrEnum):
    """What somebody says of a feature looked for."""

    SEEN = "seen"
    NOT_SEEN = "not seen"
    UNSURE = "unsure"


class About(StrEnum):
    """What a decision is about."""

    WAY = "way"
    SKIP = "skip"
    ADD = "add"
    PRICE = "price"
    OTHER = "other"
