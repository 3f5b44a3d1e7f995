"""An array as BackEnds/Npy/README.md describes it. Arguments: the file and its machine as JSON."""
import json
import sys
import numpy
from course import show

machine = json.loads(sys.argv[2])
data = open(sys.argv[1], 'rb').read()
rows = numpy.load(sys.argv[1], allow_pickle=False)
assert data[:10] == b'\x93NUMPY\x01\x00\xb6\x00' and data[191:192] == b'\n' and len(data) == 192 + 18 * len(rows)
assert rows.dtype.descr == [('x', '<i4'), ('y', '<i4'), ('ticks', '<i8'), ('beam', '|b1'), ('blank', '|b1')]
assert 0 <= min(rows['x'].min(), rows['y'].min()) and max(rows['x'].max(), rows['y'].max()) < 1 << machine['bits']
assert rows['ticks'].min() >= 0 and (rows['blank'] == (rows['beam'] != machine['high_when_off'])).all()
assert not rows['beam'][-1], 'ends with the beam on'
show([(int(x), int(y), int(ticks), bool(beam)) for x, y, ticks, beam, _ in rows], machine['high_when_off'])
