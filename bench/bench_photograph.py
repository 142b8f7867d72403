"""How long a 24-megapixel photograph takes to be taken in, as a ratio to the same library doing it plainly.

Taken in: read, hashed, written durably bit for bit, read to its end, turned upright, into sRGB, three sizes for show.
Plainly: read, decoded in full, resized to the largest of those, encoded, written durably.
Both in this process, in turn, on a file of its own each time; medians are taken. The aim is at most 1.5. Run it as
`python bench/bench_photograph.py [RUNS]`.
"""

import io
import os
import statistics
import sys
import tempfile
import time
from pathlib import Path

import numpy as np
from PIL import Image

from witnessmark.record.photograph_folder import Album
from witnessmark.record.pictures import SHOWN_QUALITY, SIZES

AIM = 1.5
WIDTH, HEIGHT = 6000, 4000
WANTED_BYTES = (6e6, 16e6)  # what cameras make of 24 megapixels


def photograph(number: int) -> bytes:
    """A picture as hard to pack as a photograph: broad shapes, grain of wood, noise of the sensor."""
    chance = np.random.default_rng(number)
    across, down = np.meshgrid(np.arange(WIDTH, dtype=np.float32), np.arange(HEIGHT, dtype=np.float32))
    shape = 128 + 60 * np.sin(across / 700) * np.cos(down / 900) + 18 * np.sin(down / 7 + np.sin(across / 400) * 4)
    noise = chance.normal(0, 6, (HEIGHT, WIDTH)).astype(np.float32)
    red, green, blue = (np.clip(shape * tint + noise, 0, 255).astype(np.uint8) for tint in (1.0, 0.7, 0.45))
    made = io.BytesIO()
    notes = Image.Exif()
    notes[0x0112] = 6
    Image.fromarray(np.dstack([red, green, blue])).save(made, "JPEG", quality=90, exif=notes)
    return made.getvalue()


def taken_in(file: Path, folder: Path) -> None:
    with file.open("rb") as stream:
        Album(folder).keep(stream)


def plainly(file: Path, folder: Path) -> None:
    with Image.open(io.BytesIO(file.read_bytes())) as image:
        image.load()
        small = image.resize((SIZES[-1], SIZES[-1] * HEIGHT // WIDTH), Image.Resampling.LANCZOS)
    made = io.BytesIO()
    small.save(made, "JPEG", quality=SHOWN_QUALITY)
    folder.mkdir()
    with (folder / "small.jpg").open("wb") as out:
        out.write(made.getvalue())
        out.flush()
        os.fsync(out.fileno())


def seconds(act, file: Path, folder: Path) -> float:
    started = time.perf_counter()
    act(file, folder)
    return time.perf_counter() - started


def main(runs: int) -> int:
    """Prints the medians and their ratio; 1 where it is over the aim."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        pairs = []
        for run in range(runs + 1):
            file = folder / f"{run}.jpg"
            file.write_bytes(photograph(run))
            os.sync()
            pairs.append([seconds(act, file, folder / f"{run}-{act.__name__}") for act in (taken_in, plainly)])
        size = file.stat().st_size
        assert WANTED_BYTES[0] < size < WANTED_BYTES[1], f"{size} bytes are not what a camera makes"
    taken, plain = (statistics.median(times) for times in zip(*pairs[1:], strict=True))  # the first run warms up
    times = f"{size / 1e6:.1f} MB: taken in {taken * 1000:.0f} ms, plainly {plain * 1000:.0f} ms"
    print(f"{times}, ratio {taken / plain:.2f} (aim: at most {AIM:g})")
    return 0 if taken / plain <= AIM else 1


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]) if len(sys.argv) > 1 else 7))
