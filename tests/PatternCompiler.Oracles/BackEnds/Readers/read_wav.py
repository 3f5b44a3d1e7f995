"""A sound file as BackEnds/Wave/README.md describes it. Arguments: the file and its machine as JSON."""
import json
import struct
import sys
import numpy
from course import show

machine = json.loads(sys.argv[2])
bits = machine['bits']
s = 2 if bits <= 16 else 3
data = open(sys.argv[1], 'rb').read()
(riff, riff_size, wave, format_size, kind, channels, rate, byte_rate, frame, sample_bits, extension, valid, mask,
 guid, name, size) = struct.unpack_from('<4sI8sIHHIIHHHHI16s4sI', data)
assert (riff, wave, name) == (b'RIFF', b'WAVEfmt ', b'data') and (format_size, kind, extension, mask) == (40, 0xFFFE, 22, 0)
assert guid.hex() == '0100000000001000800000aa00389b71'
assert (channels, rate, byte_rate, frame, sample_bits, valid) == (3, machine['clock'], machine['clock'] * 3 * s % 2 ** 32, 3 * s, 8 * s, 8 * s)
if size == 0xFFFFFFFF:
    assert riff_size == size
    size = (len(data) - 68) // frame * frame
assert riff_size in (60 + size + size % 2, 0xFFFFFFFF) and len(data) == 68 + size + size % 2 and size % frame == 0
raw = numpy.frombuffer(data, 'u1', size, 68).reshape(-1, 3, s).astype('i4')
samples = sum(raw[:, :, i] << 8 * i for i in range(s))
samples -= (samples >> 8 * s - 1) << 8 * s
largest = (1 << 8 * s - 1) - 1
assert set(numpy.unique(samples[:, 2])) <= {largest, -largest - 1}
step = 1 << 8 * s - bits
assert not (samples[:, :2] % step).any()
codes = samples[:, :2] // step + (1 << bits - 1)
is_on = (samples[:, 2] > 0) != machine['high_when_off']
assert not is_on[-1], 'ends with the beam on'
show([(int(x), int(y), 1, bool(on)) for (x, y), on in zip(codes, is_on)], machine['high_when_off'])
