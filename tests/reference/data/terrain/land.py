"""Wetness, aspect and topographic position of the reference terrains by general-purpose libraries.

gdaldem (GDAL) for slope, aspect and the 3 x 3 topographic position, pysheds for accumulation, scipy for the wider neighbourhood.
Run in this folder: python3 land.py  -> land.json
"""

import json
import subprocess
import tempfile

import numpy as np
import rasterio
import scipy

np.in1d = getattr(np, "in1d", np.isin)  # pysheds 0.5 asks for the old name
from pysheds.grid import Grid  # noqa: E402
from scipy import ndimage

SOURCE = "dem_volcano_smooth_10m.asc"
CELL = 10.0


def read(name):
    with rasterio.open(name) as file:
        return file.read(1).astype(float)


def gdaldem(kind, *options):
    with tempfile.NamedTemporaryFile(suffix=".tif") as file:
        subprocess.run(["gdaldem", kind, SOURCE, file.name, "-q", *options], check=True)
        return read(file.name)


heights = read(SOURCE)
slope, aspect, near = gdaldem("slope"), gdaldem("aspect"), gdaldem("TPI")

# Cells that drain into each, itself counted: eight ways, hollows and flats left as they are.
grid = Grid.from_ascii(SOURCE)
dem = grid.read_ascii(SOURCE)
directions = grid.flowdir(dem)
cells = np.asarray(grid.accumulation(directions), dtype=float)
wetness = np.log(cells * CELL / np.maximum(np.tan(np.radians(slope)), 0.001))

# The circle of 50 m about each cell, wherever it lies whole on the terrain.
reach = 5
y, x = np.mgrid[-reach : reach + 1, -reach : reach + 1]
circle = x * x + y * y <= reach * reach
mean = ndimage.generic_filter(heights, np.mean, footprint=circle)
spread = ndimage.generic_filter(heights, np.std, footprint=circle)
lower = ndimage.generic_filter(heights, lambda about: np.mean(about < about[len(about) // 2]), footprint=circle)
relief = ndimage.maximum_filter(heights, footprint=circle) - ndimage.minimum_filter(heights, footprint=circle)

rows = []
random = np.random.default_rng(20)
inner = [
    (r, c)
    for r in range(reach, heights.shape[0] - reach)
    for c in range(reach, heights.shape[1] - reach)
    if np.asarray(directions)[r, c] > 0
]
for at in random.choice(len(inner), 200, replace=False):
    r, c = inner[at]
    rows.append([
        int(r), int(c), round(slope[r, c], 5), round(aspect[r, c], 4), round(near[r, c], 5), int(cells[r, c]),
        round(wetness[r, c], 5), round(heights[r, c] - mean[r, c], 5), round(spread[r, c], 5),
        round(lower[r, c], 5), round(relief[r, c], 4),
    ])
json.dump(
    {
        "made_by": "gdaldem of GDAL 3.6.2, pysheds 0.5, scipy " + scipy.__version__,
        "columns": ["row", "column", "slope", "aspect", "tpi3", "cells", "wetness", "tpi50", "spread50", "lower50", "relief50"],
        "rows": rows,
    },
    open("land.json", "w"),
)
