"""Reads one HEIC photograph in a process of its own: `heic_reader.py MOST_PIXELS SIDE`, bytes in, a PNG out.

The decoder is native code that damaged files can bring down; a process that ends costs one photograph, not the desk.
Says “WIDTH HEIGHT” on the first line, then the picture upright, no larger than SIDE (0: as it is), with its EXIF and
its colour profile. Ends otherwise than with 0 where it can't be read; only the first line where it has too many pixels.
"""

import io
import sys

MOST_MEMORY = 3 << 30  # bytes; 60 megapixels take less than half of it
MOST_SECONDS = 60  # of the processor


def bounded() -> None:
    if sys.platform != "win32":
        import resource

        resource.setrlimit(resource.RLIMIT_AS, (MOST_MEMORY, MOST_MEMORY))
        resource.setrlimit(resource.RLIMIT_CPU, (MOST_SECONDS, MOST_SECONDS))
        resource.setrlimit(resource.RLIMIT_CORE, (0, 0))


def main(most_pixels: int, side: int) -> None:
    from pi_heif import register_heif_opener
    from PIL import Image

    register_heif_opener(thumbnails=False, depth_images=False, aux_images=False)
    with Image.open(io.BytesIO(sys.stdin.buffer.read()), formats=["HEIF"]) as image:
        if image.width * image.height <= most_pixels:
            image.load()  # the container may have said another size than its pixels turn out to have
        print(image.width, image.height, flush=True)
        if image.width * image.height > most_pixels:
            return
        kept = {name: image.info[name] for name in ("exif", "icc_profile") if image.info.get(name)}
        if side and max(image.size) > side:
            image.thumbnail((side, side), Image.Resampling.LANCZOS)
        image.save(sys.stdout.buffer, "PNG", compress_level=0, **kept)


if __name__ == "__main__":
    bounded()
    main(*map(int, sys.argv[1:]))
