"""Ground covered against its peers in the same run. Run: python -m benchmarks.coverage

Peers: shapely simplify-and-buffer of the whole line, and the union of single-segment buffers (an
independent truth).
"""

import functools
import time

import numpy as np
import shapely

from benchmarks.measure import measure
from geo.coverage import add, cover, draw, union
from geo.coverage_store import pack, picture, unpack
from geo.gaps import find_gaps
from geo.grid import grid_over, site_mask
from geo.track import clean_track
from tests.unit.geo.walks import LOCAL, field, line, serpentine, walked

SWATH_M = 1.6
HUNTS, MEMBERS, DISTINCT = 60, 15, 60


def one_track(sigma_m):
    path = walked(serpentine(), sigma_m=sigma_m, white_m=0.15, stops=40)
    return path, grid_over(field(path), LOCAL)


def by_raster(path, grid):
    return grid.area_m2(draw(grid, [path], SWATH_M / 2).bits)


def by_buffer(path, grid):
    return shapely.LineString(path).simplify(0.1).buffer(SWATH_M / 2).area


def by_union(path, grid):
    segments = shapely.linestrings(np.stack([path[:-1], path[1:]], axis=1))
    return shapely.union_all(shapely.buffer(segments, SWATH_M / 2)).area


def season_ground():
    """10 ha, and 60 distinct cleaned walks of four hours."""
    ground = shapely.MultiPolygon([shapely.box(0, 0, 400, 250)])
    grid, paths = grid_over(ground, LOCAL), []
    for seed in range(DISTINCT):
        corners = serpentine(12, 380, 1.6) + np.array([10, 3.6 * seed])
        paths.append(walked(corners, sigma_m=2, white_m=0.15, stops=40, seed=seed))
    return ground, grid, paths


def season(ground, grid, paths):
    """900 tracks: draw and pack once, then show: unpack, join, share, gaps, picture."""
    began = time.perf_counter()
    packed = [pack(draw(grid, [paths[n % DISTINCT]], SWATH_M / 2)) for n in range(HUNTS * MEMBERS)]
    drawn_s = time.perf_counter() - began
    began = time.perf_counter()
    counts = np.zeros((grid.rows, grid.cols), dtype=np.uint16)
    for data in packed:
        add(grid, counts, unpack(data))
    site = site_mask(grid, ground)
    share = cover(grid, counts > 0, site, lengths_m=[1], swath_m=SWATH_M).drawn_share
    gaps = find_gaps(grid, counts > 0, site)
    image = picture(counts, site)
    shown_s = time.perf_counter() - began
    return drawn_s, shown_s, share, len(gaps), sum(map(len, packed)) / len(packed), len(image)


def first_sixty(ground, grid, paths):
    rasters = [draw(grid, [path], SWATH_M / 2) for path in paths]
    return grid.area_m2(union(grid, rasters) & site_mask(grid, ground))


def first_sixty_by_buffer(ground, grid, paths):
    buffers = [shapely.LineString(path).simplify(0.1).buffer(SWATH_M / 2) for path in paths]
    return shapely.union_all(buffers).intersection(ground).area


def cleaned(path, ground):
    began = time.perf_counter()
    clean_track([line(path)], LOCAL, ground)
    return time.perf_counter() - began


def main():
    print("One 4 h walk at 1 Hz, 40 stops, swath 1.6 m (best of 3, each alone in a process)")
    for sigma_m in (0, 1, 2, 3):
        prepared = functools.partial(one_track, sigma_m)
        ours, peer, truth = (measure(work, prepared) for work in (by_raster, by_buffer, by_union))
        print(
            f"  noise {sigma_m} m: raster {ours[0] * 1e3:5.1f} ms {ours[1]:4.1f} MB"
            f" | buffer {peer[0] * 1e3:6.0f} ms {peer[1]:4.0f} MB = {peer[0] / ours[0]:4.0f} times"
            f" | union {truth[0] * 1e3:5.0f} ms = {truth[0] / ours[0]:4.0f} times"
            f" | area against union {100 * (ours[3] / truth[3] - 1):+.3f} %"
        )
    path, _ = one_track(2)
    print(f"  cleaning one such track: {min(cleaned(path, field(path)) for _ in range(3)) * 1e3:.1f} ms")
    print(f"A season, {HUNTS * MEMBERS} tracks on 10 ha")
    _, extra, whole, (drawn_s, shown_s, share, gaps, stored, image) = measure(season, season_ground, 1)
    print(f"  drawn and packed once {drawn_s:.1f} s; shown {shown_s:.2f} s; {stored / 1e3:.1f} kB a track")
    print(f"  {100 * share:.1f} % drawn, {gaps} gaps, picture {image / 1e3:.0f} kB")
    print(f"  extra {extra:.0f} MB of {whole:.0f} MB")
    ours = measure(first_sixty, season_ground, 1)
    peer = measure(first_sixty_by_buffer, season_ground, 1)
    print(
        f"  60 walks joined: raster {ours[0]:.2f} s, buffers {peer[0]:.1f} s = {peer[0] / ours[0]:.0f} times; "
        f"area {100 * (ours[3] / peer[3] - 1):+.3f} %"
    )


if __name__ == "__main__":
    main()
