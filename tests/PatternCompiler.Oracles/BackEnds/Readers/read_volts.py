"""A table as BackEnds/Volts/README.md describes it. Arguments: the file and its machine as JSON."""
import json
import sys
from course import check_decimal, decimals, nearest, show

machine = json.loads(sys.argv[2])
count = 1 << machine['bits']
lsb = (machine['highest'] - machine['lowest']) / (count - machine['last_code'])
text = open(sys.argv[1], 'rb').read().decode('ascii')
assert text.endswith('\n')
heading, *rows = text[:-1].split('\n')
assert heading == 'time_s,x_V,y_V,beam,blank'
found = []
for row in rows:
    time, x, y, beam, blank = row.split(',')
    assert beam in '01' and int(blank) == ((beam == '1') != machine['high_when_off'])
    codes = [nearest((check_decimal(v, decimals(lsb)) - machine['lowest']) / lsb) for v in (x, y)]
    assert all(0 <= code < count for code in codes)
    found.append((nearest(check_decimal(time, 12) * machine['clock']), *codes, beam == '1'))
assert found[0][0] == 0 and not found[-1][3] and found[-1][1:3] == found[-2][1:3]
points = [(x, y, then[0] - tick, is_on) for (tick, x, y, is_on), then in zip(found, found[1:])]
assert all(point[2] >= 0 for point in points)
show(points, machine['high_when_off'])
