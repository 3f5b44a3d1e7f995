"""The course of an exposure from its points, in one form for every output: a line for each change and one for the end."""
import math


def line(x, y, end_x, end_y, n, ticks):
    """The points of a line, by the formulas of BackEnds/Points/README.md."""
    for i in range(n):
        def at(a, b):
            return a if n == 1 else a + (2 * i * (b - a) + (n - 1)) // (2 * (n - 1))
        yield at(x, end_x), at(y, end_y), (i + 1) * ticks // n - i * ticks // n, True


def nearest(value):
    """The whole number that a value stands for; the page says how far it may be off."""
    whole = math.floor(value + 0.5)
    assert abs(value - whole) <= 0.1, value
    return whole


def decimals(step):
    """D of the page."""
    n = 3
    while n < 11 and abs(step) * 10 ** n < 1:
        n += 1
    return n + 3


def check_decimal(text, most):
    """A decimal number in the page's form."""
    digits = text.removeprefix('-').split('.')
    assert all(part.isascii() and part.isdigit() for part in digits) and len(digits) <= 2, text
    assert len(digits) == 1 or (len(digits[1]) <= most and digits[1][-1] != '0'), text
    return float(text)


def show(points, is_high_when_off):
    """Prints tick, codes of both outputs and level of the blank line where one of them changes, and the tick of the end.

    points: (x, y, ticks, beam is on). A closing point is left out.
    """
    points = [p for p in points if p[2] > 0]
    if len(points) > 1 and points[-2][3] and points[-1] == (*points[-2][:2], 1, False):
        points.pop()
    tick, last = 0, None
    for x, y, ticks, is_on in points:
        now = x, y, int(is_on != is_high_when_off)
        if now != last:
            print(tick, *now)
        tick, last = tick + ticks, now
    print('end', tick)
