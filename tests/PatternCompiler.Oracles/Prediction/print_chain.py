"""What a stream prints, worked out without the program under test.

usage: print_chain.py TASK.json        prints one JSON object

Streams are decoded by the stream's page. Every point deposits its charge where an exponential deflection has come to, through
a blanker that answers late; energy is a sum of Gaussians over single points (backscatter: over charge gathered in cells far
smaller than its range). The drawing is read by ezdxf, curves within 0.01 nm; shapely unites its areas, and networkx tells
what printed labels (scipy) and drawn areas have to do with each other. numpy, scipy, shapely, networkx and ezdxf are Debian's.
"""
import json
import struct
import sys

import ezdxf
import networkx
import numpy as np
from scipy import ndimage
from scipy.interpolate import RectBivariateSpline
from scipy.spatial import cKDTree
from shapely import vectorized
from shapely.geometry import GeometryCollection, LinearRing, LineString, Polygon, box as rectangle
from shapely.ops import polygonize, transform, unary_union
from shapely.prepared import prep
from shapely.validation import make_valid

SUB = 4                      # parts of a dwell
REACH = 5.0                  # standard deviations of a sum over points
CORNER_COSINE = 0.94
PITCH = 10                   # of places on edges, in nanometres
MOST_SAMPLES = 400
STRIDE = 16                  # of pixels looked at together
CHORD = 1e-5                 # of curves, in micrometres


# ---- the stream ----
class Stream:
    """Records of a framed stream: kind, codes from and to, points, ticks of each point and those left over."""

    def __init__(self, path):
        data = open(path, "rb").read()
        assert data[:6] == b"\x9cPCX\r\n" and data[6] == 1
        length = struct.unpack_from("<H", data, 8)[0]
        self.word, self.bits, self.coding, self.full_scale, self.swap = data[12], data[16], data[17], data[18], data[19]
        self.clock, self.step_x, self.step_y = (struct.unpack_from("<d", data, at)[0] for at in (20, 44, 52))
        rows, at = [], length
        while data[at:at + 1] == b"R":
            size = struct.unpack_from("<H", data, at + 2)[0]
            self._records(data[at + 10:at + 10 + size], rows)
            at += size + 14
        assert data[at:at + 1] == b"E"
        _, self.points, self.ticks = struct.unpack_from("<QQQ", data, at + 10)
        r = self.rows = np.array(rows, dtype=np.int64).reshape(-1, 8)
        if self.coding == 2:
            r[:, 1:5] ^= 1 << (self.bits - 1)
        wait = r[:, 0] == 4                      # the deflection stays where it was
        last = np.maximum.accumulate(np.where(~wait, np.arange(len(r)), 0))
        for column, end in ((1, 3), (2, 4)):
            r[wait, column] = r[wait, end] = r[last, end][wait]
        self.on = np.isin(r[:, 0], (2, 3))
        total = r[:, 5] * r[:, 6] + r[:, 7]
        assert total.sum() == self.ticks and r[self.on, 5].sum() == self.points
        self.seconds = total / self.clock

    def _records(self, payload, rows):
        kind = {2: "<u2", 4: "<u4"}.get(self.word)
        if kind:
            w = np.frombuffer(payload, dtype=kind).tolist()
        else:
            raw = np.frombuffer(payload, dtype=np.uint8).reshape(-1, 3).astype(np.int64)
            w = (raw[:, 0] | raw[:, 1] << 8 | raw[:, 2] << 16).tolist()
        shift = 8 * self.word
        i = 0
        while i < len(w):
            if w[i] in (1, 2):
                rows.append((w[i], w[i + 1], w[i + 2], w[i + 1], w[i + 2], 1, w[i + 3] | w[i + 4] << shift, 0))
                i += 5
            elif w[i] == 3:
                pair = [w[i + 5 + 2 * k] | w[i + 6 + 2 * k] << shift for k in range(3)]
                rows.append((3, *w[i + 1:i + 5], *pair))
                i += 11
            elif w[i] == 4:
                rows.append((4, 0, 0, 0, 0, 1, w[i + 1] | w[i + 2] << shift, 0))
                i += 3
            else:
                assert w[i] == 5
                i += 3

    def expand(self, chosen):
        """Points of some records: their record, codes and ticks."""
        r = self.rows[chosen]
        n = r[:, 5]
        owner = np.repeat(np.arange(len(r)), n)
        i = np.arange(len(owner)) - np.repeat(np.cumsum(n) - n, n)
        m, q, rest = n[owner], r[owner, 6], r[owner, 7]
        below = np.maximum(1, 2 * (m - 1))
        x, y = (r[owner, c] + np.where(m > 1, (2 * i * (r[owner, c + 2] - r[owner, c]) + (m - 1)) // below, 0) for c in (1, 2))
        return owner, x, y, q + ((i + 1) * rest // m - i * rest // m)


# ---- the machine ----
def places(stream, machine, origin, x, y):
    middle = (1 << stream.bits) / 2 if stream.full_scale == 0 else ((1 << stream.bits) - 1) / 2
    x, y = (x - middle) * stream.step_x, (y - middle) * stream.step_y
    if stream.swap:
        x, y = y, x
    if "polynomial" in machine:
        half = machine["half_field_nm"]
        u, v = x / half, y / half
        terms = [u ** (degree - k) * v ** k for degree in range(4) for k in range(degree + 1)]
        x, y = (sum(c * t for c, t in zip(axis, terms)) for axis in machine["polynomial"])
    return x + origin[0], y + origin[1]


class Exposure:
    def __init__(self, task):
        self.machine = task["machine"]
        self.parts = [(Stream(part["path"]), part["origin_nm"]) for part in task["streams"]]
        self.charge = sum(s.seconds[s.on].sum() for s, _ in self.parts) * self.machine["current_A"]
        self.ticks = sum(int(s.ticks) for s, _ in self.parts)
        self.points = sum(int(s.points) for s, _ in self.parts)

    def coarse(self, spacing):
        """The charge of every line on places that are no farther apart than a spacing."""
        out = []
        for s, origin in self.parts:
            r = s.rows[s.on]
            length = np.hypot((r[:, 3] - r[:, 1]) * s.step_x, (r[:, 4] - r[:, 2]) * s.step_y)
            n = np.minimum(r[:, 5], np.ceil(length / spacing).astype(int) + 1)
            owner = np.repeat(np.arange(len(r)), n)
            i = np.arange(len(owner)) - np.repeat(np.cumsum(n) - n, n)
            part = np.where(n[owner] == r[owner, 5], i / np.maximum(1, n[owner] - 1), (i + 0.5) / n[owner])
            x, y = (r[owner, c] + part * (r[owner, c + 2] - r[owner, c]) for c in (1, 2))
            out.append((*places(s, self.machine, origin, x, y), (s.seconds[s.on] * self.machine["current_A"] / n)[owner]))
        return tuple(np.concatenate(c) for c in zip(*out))

    def deposits(self, box):
        """Place and charge of parts of the dwells in a box, the beam late by the time constant and the blanker by its delays."""
        out = [self._deposits(s, origin, box) for s, origin in self.parts]
        return tuple(np.concatenate(c) for c in zip(*out))

    def _deposits(self, s, origin, box):
        left, bottom, right, top = box
        ends = [places(s, self.machine, origin, s.rows[:, c].astype(float), s.rows[:, c + 1].astype(float)) for c in (1, 3)]
        low_x, low_y = np.minimum(ends[0][0], ends[1][0]), np.minimum(ends[0][1], ends[1][1])
        high_x, high_y = np.maximum(ends[0][0], ends[1][0]), np.maximum(ends[0][1], ends[1][1])
        here = s.on & (high_x > left) & (low_x < right) & (high_y > bottom) & (low_y < top)

        # With the record before, whose end the beam comes from, and the one after, to which it leaves.
        chosen = here.copy()
        chosen[:-1] |= here[1:]
        chosen[1:] |= here[:-1]
        owner, x, y, ticks = s.expand(chosen)
        gx, gy = places(s, self.machine, origin, x, y)
        on, dt = s.on[chosen][owner], ticks / s.clock
        inside = here[chosen][owner] & (gx > left) & (gx < right) & (gy > bottom) & (gy < top)
        index = np.flatnonzero(inside)
        tau, current = self.machine["tau_s"], self.machine["current_A"]
        after_on, after_off = self.machine["on_delay_s"], self.machine["off_delay_s"]
        dx, dy, weight, at = np.zeros(len(index)), np.zeros(len(index)), np.ones(len(index)), index.copy()
        for _ in range(80 if tau > 0 else 0):
            before = np.maximum(at - 1, 0)
            dx += weight * (gx[before] - gx[at])
            dy += weight * (gy[before] - gy[at])
            weight = weight * np.exp(-dt[before] / tau)
            at = before
            if weight.max(initial=0) < 1e-6:
                break

        def left_after(t):
            return np.exp(-t / tau) if tau > 0 else np.zeros_like(t)

        was_on = np.where(index > 0, on[index - 1], False)
        start = np.where(was_on, 0.0, after_on)
        length = dt[index] - start
        out = []
        for k in range(SUB):
            f = left_after(start + (k + 0.5) / SUB * length)
            out.append((gx[index] + dx * f, gy[index] + dy * f, current * length / SUB))
        if after_off > 0:
            after = np.minimum(index + 1, len(on) - 1)
            is_last = ~on[after] | (index == len(on) - 1)
            f, g = left_after(dt[index]), left_after(np.full(len(index), after_off / 2))
            out.append((
                gx[after] + (gx[index] + dx * f - gx[after]) * g,
                gy[after] + (gy[index] + dy * f - gy[after]) * g,
                np.where(is_last, current * after_off, 0.0)))
        return tuple(np.concatenate(c) for c in zip(*out))


# ---- energy ----
class Energy:
    def __init__(self, exposure, task):
        self.exposure = exposure
        spot = task["spot_nm"] / (2 * np.sqrt(np.log(2)))
        spread = task["spread"]
        self.forward = np.hypot(spread["forward_nm"], spot) / np.sqrt(2)
        self.ratio = spread.get("ratio", 0.0)
        if self.ratio:
            self.back = np.hypot(spread["backscatter_nm"], spot) / np.sqrt(2)
            self._gather()

    def _gather(self):
        cell = self.back / 12
        x, y, q = self.exposure.coarse(cell / 2)
        x, y = x / cell, y / cell
        self.cell = cell
        self.x0, self.y0 = int(np.floor(x.min())), int(np.floor(y.min()))
        shape = (int(np.floor(y.max())) - self.y0 + 2, int(np.floor(x.max())) - self.x0 + 2)
        self.cells = np.zeros(shape)
        i, j = np.floor(x).astype(int) - self.x0, np.floor(y).astype(int) - self.y0
        fx, fy = x - np.floor(x), y - np.floor(y)
        for di, wx in ((0, 1 - fx), (1, fx)):
            for dj, wy in ((0, 1 - fy), (1, fy)):
                self.cells += np.bincount((j + dj) * shape[1] + i + di, q * wx * wy, minlength=shape[0] * shape[1]).reshape(shape)

    def background(self, x, y):
        if not self.ratio:
            return np.zeros(len(x))
        # Cells farther away than seven standard deviations add less than a part in 10^10.
        far = 7 * self.back
        (columns, cx), (rows, cy) = (self._cells(axis, at.min() - far, at.max() + far) for axis, at in ((1, x), (0, y)))
        cells = self.cells[rows, columns]
        return np.einsum("ni,ni->n", self._kernel(y, cy) @ cells, self._kernel(x, cx)) * self._scale()

    def background_grid(self, x, y):
        """The background on a grid, by a cubic spline between cells."""
        (columns, cx), (rows, cy) = (self._cells(axis, -np.inf, np.inf) for axis in (1, 0))
        here = [np.arange(at.min() - 4 * self.cell, at.max() + 5 * self.cell, self.cell) for at in (y, x)]
        values = self._kernel(here[0], cy) @ self.cells @ self._kernel(here[1], cx).T * self._scale()
        return RectBivariateSpline(*here, values, s=0)(y, x)

    def _cells(self, axis, low, high):
        """Which cells of an axis lie between two places, and where."""
        at = (np.arange(self.cells.shape[axis]) + (self.y0, self.x0)[axis]) * self.cell
        part = slice(np.searchsorted(at, low), np.searchsorted(at, high))
        return part, at[part]

    def _kernel(self, at, cells):
        return np.exp(-(at[:, None] - cells) ** 2 / (2 * self._variance()))

    def _variance(self):
        # The share between neighbouring cells has added a sixth of a squared cell to the variance.
        return self.back ** 2 - self.cell ** 2 / 6

    def _scale(self):
        return self.ratio / (1 + self.ratio) / (2 * np.pi * self._variance() * 1e-18)

    def near(self, box):
        left, bottom, right, top = box
        far = REACH * self.forward + 100
        return self.exposure.deposits((left - far, bottom - far, right + far, top + far))


# ---- the drawing ----
def drawing(path, layers):
    polygons, lines = [], []

    def take(entities, inherited):
        for entity in entities:
            layer = inherited if entity.dxf.layer == "0" and inherited else entity.dxf.layer
            kind = entity.dxftype()
            if kind == "INSERT":
                for copy in entity.multi_insert() if entity.mcount > 1 else [entity]:
                    take(copy.virtual_entities(), layer)
            elif layers and layer not in layers:
                continue
            elif kind == "LINE":
                lines.append(((entity.dxf.start.x, entity.dxf.start.y), (entity.dxf.end.x, entity.dxf.end.y)))
            elif kind == "HATCH":
                area = Polygon()
                for r in sorted((make_valid(Polygon(boundary(p))) for p in entity.paths), key=lambda r: -r.area):
                    area = area.symmetric_difference(r)
                polygons.append(area)
            elif kind == "LWPOLYLINE" and entity.closed:     # an open one is a stroke with a width, as of letters
                polygons.append(make_valid(Polygon(bulged(entity.get_points("xyb")))))
            elif kind == "CIRCLE":
                c, r = entity.dxf.center, entity.dxf.radius
                polygons.append(Polygon(arc(c.x, c.y, r, 0, 2 * np.pi)))

    take(ezdxf.readfile(path).modelspace(), None)
    polygons += list(polygonize([LineString(line) for line in lines]))

    # To nanometres, and to whole thousandths of one, so that shared edges are the same on both sides.
    united = unary_union([make_valid(transform(lambda x, y: (np.round(np.multiply(x, 1e3), 3), np.round(np.multiply(y, 1e3), 3)), p)) for p in polygons])
    return list(united.geoms) if united.geom_type == "MultiPolygon" else [united]


def arc(x, y, radius, start, sweep):
    """Points of an arc, chords within CHORD."""
    n = max(2, int(np.ceil(abs(sweep) / (2 * np.arccos(1 - CHORD / radius)))))
    t = start + sweep * np.arange(n) / n
    return [(x + radius * np.cos(a), y + radius * np.sin(a)) for a in t]


def bulged(points):
    """A closed polyline of points with bulges: the tangent of a quarter of each arc's angle."""
    out = []
    for (x0, y0, bulge), (x1, y1, _) in zip(points, points[1:] + points[:1]):
        if bulge == 0:
            out.append((x0, y0))
            continue
        half = 2 * np.arctan(bulge)
        chord = np.hypot(x1 - x0, y1 - y0)
        radius = chord / 2 / abs(np.sin(half))
        away = chord / 2 / np.tan(half)
        cx, cy = (x0 + x1) / 2 - (y1 - y0) / chord * away, (y0 + y1) / 2 + (x1 - x0) / chord * away
        out += arc(cx, cy, radius, np.arctan2(y0 - cy, x0 - cx), 2 * half)
    return out


def boundary(path):
    if hasattr(path, "vertices"):
        return bulged([tuple(v) for v in path.vertices])
    out = []
    for edge in path.edges:
        if hasattr(edge, "radius"):
            a, b = np.radians(edge.start_angle), np.radians(edge.end_angle)
            b = b if b > a else b + 2 * np.pi
            points = arc(edge.center[0], edge.center[1], edge.radius, a, b - a)
            out += points if edge.ccw else points[::-1]
        else:
            out.append(tuple(edge.start)[:2])
    return out


def edge_samples(areas, box, pitch, corner):
    """Places on boundaries within a box, with the direction outward, away from corners."""
    found = []
    frame = rectangle(*box)
    for area in areas:
        for loop, is_hole in [(area.exterior, False)] + [(r, True) for r in area.interiors]:
            if not loop.intersects(frame):
                continue
            c = np.asarray(loop.coords)[:-1]
            if LinearRing(loop.coords).is_ccw == is_hole:
                c = c[::-1]
            step = np.roll(c, -1, axis=0) - c
            length = np.hypot(*step.T)
            c, step, length = c[length > 0], step[length > 0], length[length > 0]
            unit = step / length[:, None]
            cosine = (unit * np.roll(unit, 1, axis=0)).sum(axis=1)
            start = np.concatenate(([0], np.cumsum(length)))
            corners = start[:-1][cosine < CORNER_COSINE]
            s = np.arange(pitch / 2, start[-1], pitch)
            k = np.searchsorted(start, s, side="right") - 1
            place = c[k] + unit[k] * (s - start[k])[:, None]
            ok = (place[:, 0] >= box[0]) & (place[:, 0] <= box[2]) & (place[:, 1] >= box[1]) & (place[:, 1] <= box[3])
            s, k, place = s[ok], k[ok], place[ok]
            if len(corners):                 # the next corner on either side, around the boundary's end too
                around = np.concatenate(([corners[-1] - start[-1]], corners, [corners[0] + start[-1]]))
                after = np.searchsorted(around, s)
                ok = np.minimum(s - around[after - 1], around[after] - s) > corner
                k, place = k[ok], place[ok]
            found.append(np.column_stack((place, unit[k][:, 1], -unit[k][:, 0])))
    return np.concatenate(found) if found else np.zeros((0, 4))


def edges(energy, areas, box, level):
    samples = edge_samples(areas, box, PITCH, 3 * energy.forward)
    samples = samples[::max(1, len(samples) // MOST_SAMPLES)]
    px, py, q = energy.near(box)
    tree = cKDTree(np.column_stack((px, py)))
    variance = energy.forward ** 2
    scale = 1 / (2 * np.pi * variance * 1e-18) / (1 + energy.ratio)

    # Scattered electrons vary over micrometres: a parabola through three places on the normal.
    x, y, ox, oy = samples.T
    low, mid, high = (energy.background(x + s * ox, y + s * oy) for s in (-50.0, 0.0, 50.0))
    found = np.zeros(len(samples))
    for n, near in enumerate(tree.query_ball_point(samples[:, :2], REACH * energy.forward + 90)):
        dx, dy = px[near] - x[n], py[near] - y[n]
        along, across = dx * ox[n] + dy * oy[n], dx * oy[n] - dy * ox[n]
        weight = q[near] * np.exp(-across ** 2 / (2 * variance)) * scale
        inner, outer, s = -90.0, 90.0, 0.0
        for _ in range(50):                  # Newton's rule, and halving where it leaves the bracket
            kernel = weight * np.exp(-(along - s) ** 2 / (2 * variance))
            t = s / 50
            value = kernel.sum() + mid[n] + (high[n] - low[n]) / 2 * t + (high[n] + low[n] - 2 * mid[n]) / 2 * t * t - level
            inner, outer = (s, outer) if value > 0 else (inner, s)
            slope = (kernel * (along - s)).sum() / variance
            new = s - value / slope if slope < 0 else inner - 1
            new = new if inner < new < outer else (inner + outer) / 2
            if abs(new - s) < 1e-4:
                break
            s = new
        found[n] = s
    return {"samples": len(found), "mean": float(found.mean()), "three_sigma": float(3 * found.std()), "worst": float(found[np.abs(found).argmax()])}


# ---- shapes ----
def shapes(energy, areas, level, pixel):
    """What hangs together: printed labels on a grid against drawn areas."""
    x, y, q = energy.exposure.coarse(pixel)
    bounds = GeometryCollection(areas).bounds
    margin = 6 * energy.forward + 600
    left, bottom = min(bounds[0], x.min()) - margin, min(bounds[1], y.min()) - margin
    columns = int((max(bounds[2], x.max()) + margin - left) / pixel) + 1
    rows = int((max(bounds[3], y.max()) + margin - bottom) / pixel) + 1
    u, v = (x - left) / pixel - 0.5, (y - bottom) / pixel - 0.5
    i, j = np.floor(u).astype(int), np.floor(v).astype(int)
    grid = np.zeros(rows * columns)
    for di in (0, 1):
        for dj in (0, 1):
            w = np.abs(1 - di - (u - i)) * np.abs(1 - dj - (v - j))
            grid += np.bincount((j + dj) * columns + i + di, q * w, minlength=rows * columns)
    grid = (grid / (pixel * pixel * 1e-18)).reshape(rows, columns).astype(np.float32)
    sigma = np.sqrt(energy.forward ** 2 - pixel ** 2 / 6) / pixel
    total = ndimage.gaussian_filter(grid, sigma, mode="constant", truncate=5) / (1 + energy.ratio)
    if energy.ratio:
        total += energy.background_grid(left + (np.arange(columns) + 0.5) * pixel, bottom + (np.arange(rows) + 0.5) * pixel).astype(np.float32)
    labels, count = ndimage.label(total >= level, structure=np.ones((3, 3)))
    graph = networkx.Graph()
    graph.add_nodes_from(("printed", k) for k in range(1, count + 1))
    graph.add_nodes_from(("drawn", k) for k in range(len(areas)))
    for k, area in enumerate(areas):
        a, b, c, d = area.bounds
        i0, i1 = int(np.floor((a - left) / pixel)), int(np.ceil((c - left) / pixel))
        j0, j1 = int(np.floor((b - bottom) / pixel)), int(np.ceil((d - bottom) / pixel))
        part = labels[j0:j1, i0:i1]
        jj, ii = np.nonzero(part)
        prepared, found = prep(area), np.zeros(count + 1, bool)
        for start in range(STRIDE):              # one pixel inside is enough: a few of each label usually tell
            j, i = jj[start::STRIDE], ii[start::STRIDE]
            j, i = j[~found[part[j, i]]], i[~found[part[j, i]]]
            if len(j):
                inside = vectorized.contains(prepared, left + (i0 + i + 0.5) * pixel, bottom + (j0 + j + 0.5) * pixel)
                found[part[j[inside], i[inside]]] = True
        graph.add_edges_from((("drawn", k), ("printed", int(p))) for p in np.flatnonzero(found))
    result = {"shorts": 0, "opens": 0, "lost": 0, "islands": 0, "printed": count, "drawn": len(areas)}
    for kind, k in graph:
        degree = graph.degree((kind, k))
        if kind == "printed":
            result["shorts"] += degree > 1
            result["islands"] += degree == 0
        else:
            result["opens"] += degree > 1
            result["lost"] += degree == 0
    return {key: int(value) for key, value in result.items()}


def main():
    task = json.load(open(sys.argv[1]))
    exposure = Exposure(task)
    energy = Energy(exposure, task)
    areas = drawing(task["dxf"], task.get("layers"))
    result = {
        "charge_C": exposure.charge, "ticks": exposure.ticks, "points": exposure.points,
        "windows": [edges(energy, areas, w, task["level"]) for w in task["windows"]]}
    if task.get("pixel_nm"):
        result["shapes"] = shapes(energy, areas, task["level"], task["pixel_nm"])
    json.dump(result, sys.stdout)


if __name__ == "__main__":
    main()
