"""A motion program as BackEnds/Motion/README.md describes it. Arguments: the file and its machine as JSON."""
import json
import re
import sys
from course import check_decimal, decimals, line, nearest, show

machine = json.loads(sys.argv[2])
half = 1 << machine['bits'] - 1
lines = open(sys.argv[1], 'rb').read().decode('ascii').removesuffix('\n').split('\n')
first, modes, off, message, scale, *blocks, end, last = [text for text in lines if not text.startswith('(note: ')]
assert re.fullmatch(r'\(scale: 1 mm of X or Y is 1 mm on the sample, and at the outputs (\S+) V of X and (\S+) V of Y\)', scale)
assert (first, modes, off, end, last) == ('%', 'G21 G90 G93', 'M5', 'M2', '%')
level = 'high' if machine['high_when_off'] else 'low'
assert message == (f'(MSG, M5 turns the beam off: the blank line must then be {level})' if machine.get('blanker', True)
                   else '(MSG, M5 cannot turn the beam off: there is no blanker)')


def code(text, step):
    found = nearest(check_decimal(text, decimals(step)) / step) + half
    assert 0 <= found < 2 * half
    return found


points, is_on, place = [], False, (half, half)
for block in blocks:
    if block in ('M3', 'M5'):
        assert is_on != (block == 'M3')
        is_on = block == 'M3'
        continue
    if re.fullmatch(r'\(figure \d+\)', block):
        continue
    g, x, y, p, f, n = re.fullmatch(r'(G[014])(?: X(\S+) Y(\S+))?(?: P(\S+))?(?: F(\S+))?(?: \(points (\d+)\))?', block).groups()
    assert (x is None, p is None, f is None) == {'G0': (False, True, True), 'G1': (False, True, False), 'G4': (True, False, True)}[g]
    target = (code(x, machine['step_x'] * 1e-6), code(y, machine['step_y'] * 1e-6)) if x else place
    ticks = nearest(check_decimal(p, 12) * machine['clock']) if p else nearest(60 * machine['clock'] / float(f)) if f else 0
    assert n is None or is_on == (g != 'G0')
    assert g != 'G0' or not is_on, 'a rapid move with the beam on'
    if n:
        points += line(*place, *target, int(n), ticks)
    elif p:
        points.append((*place, ticks, is_on))
    place = target
assert not is_on, 'ends with the beam on'
show(points, machine['high_when_off'])
