"""Records in text (Model/Carriers/README.md) as points: what every other reader here has to give."""
import sys
from course import line, show

points, place, level = [], None, None
for text in open(sys.argv[1], encoding='utf-8'):
    word, *rest = text.split()
    if word == 'bits':
        place = (1 << int(rest[0]) - 1,) * 2
    elif word == 'blank':
        level = rest[0]
    elif word in ('jump', 'dot'):
        x, y, ticks = map(int, rest)
        place = x, y
        points.append((x, y, ticks, word == 'dot'))
    elif word == 'line':
        points += line(*map(int, rest))
        place = points[-1][:2]
    elif word == 'wait':
        points.append((*place, int(rest[0]), False))
assert level in ('high', 'low', 'none')
show(points, level != 'low')
