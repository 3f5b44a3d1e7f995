"""A link and a controller, byte by byte of real streams and event by event, from the stream's page alone.

usage: link_simulation.py STREAM LINK...
A LINK is bytes-per-second:blocks:round-trip-ticks. One line of output for each: stalls, their time in seconds, the longest one, and
how many of them, and how much of their time, with the beam on before and after.
Exact: all times are whole numbers of one unit.
"""
import heapq
import struct
import sys


def blocks_of(stream):
    """Clock in hertz, and of each block of records bytes, ticks, and the beam at its beginning and end; None where it has markers alone."""
    assert stream[:6] == bytes.fromhex("9C5043580D0A")
    at, = struct.unpack_from("<H", stream, 8)
    word = stream[12]
    clock, = struct.unpack_from("<d", stream, 20)
    blocks = []
    while True:
        kind, count, payload = struct.unpack_from("<BBH", stream, at)
        number, = struct.unpack_from("<I", stream, at + 6)
        assert number == len(blocks)
        body = stream[at + 10:at + 10 + payload]
        at += 10 + payload + 4
        if kind == ord("E"):
            assert at == len(stream)
            assert struct.unpack_from("<Q", body, 16)[0] == sum(ticks for _, ticks, _ in blocks)
            return clock, blocks
        ticks, beam = course_of([int.from_bytes(body[i:i + word], "little") for i in range(0, payload, word)], count, word)
        blocks.append((10 + payload + 4, ticks, beam))


def course_of(words, count, word):
    at = ticks = 0
    beam = []

    def pair(i):
        return words[at + i] | words[at + i + 1] << (8 * word)

    for _ in range(count):
        kind = words[at]
        if kind != 5:
            beam.append(kind in (2, 3))
        if kind in (1, 2):
            ticks += pair(3)
            at += 5
        elif kind == 3:
            ticks += pair(5) * pair(7) + pair(9)
            at += 11
        else:
            assert kind in (4, 5)
            ticks += pair(1) if kind == 4 else 0
            at += 3
    assert at == len(words)
    return ticks, (beam[0], beam[-1]) if beam else None


def simulate(blocks, per_byte, per_tick, room, round_trip):
    """Sender, link and controller as processes that wake each other by events."""
    events = []
    waiting = []            # blocks that have come and been checked, in order
    state = {"now": 0, "sent": 0, "written": 0, "granted": 0, "on": False, "link free": True, "writing": False, "idle since": None}
    stalls = []

    def post(delay, what, block):
        heapq.heappush(events, (state["now"] + delay, what, block))

    def act():
        # The receiver grants as many blocks as it holds beyond those written; that the sender acts on it takes the round trip.
        if state["link free"] and state["sent"] < len(blocks) and state["sent"] < state["granted"] + room:
            state["link free"] = False
            post(blocks[state["sent"]][0] * per_byte, "come", state["sent"])
            state["sent"] += 1
        if not state["writing"] and waiting:
            block = waiting.pop(0)
            state["writing"] = True
            beam = blocks[block][2]
            if state["idle since"] is not None and state["now"] > state["idle since"]:
                stalls.append((state["now"] - state["idle since"], state["on"] and (beam is None or beam[0])))
            state["on"] = beam[1] if beam else state["on"]
            post(blocks[block][1] * per_tick, "done", block)

    act()
    while events:
        # All that happens at one time, then what follows from it.
        state["now"] = events[0][0]
        while events and events[0][0] == state["now"]:
            _, what, block = heapq.heappop(events)
            if what == "come":
                state["link free"] = True
                waiting.append(block)
            elif what == "credit":
                state["granted"] += 1
            else:
                state["writing"] = False
                state["written"] += 1
                state["idle since"] = state["now"]
                post(round_trip, "credit", block)
        act()
    assert state["written"] == len(blocks)
    return stalls


def main():
    with open(sys.argv[1], "rb") as file:
        clock, blocks = blocks_of(file.read())
    for link in sys.argv[2:]:
        rate, room, round_trip = link.split(":")
        ticks, parts = float(clock).as_integer_ratio()
        bytes_, of_them = float(rate).as_integer_ratio()
        # A byte takes of_them / bytes_ seconds, a tick parts / ticks seconds.
        stalls = simulate(blocks, of_them * ticks, parts * bytes_, int(room), int(round_trip) * parts * bytes_)
        times = [time for time, _ in stalls]
        amid = [time for time, is_amid in stalls if is_amid]
        print(len(times), sum(times) / (ticks * bytes_), max(times, default=0) / (ticks * bytes_), len(amid), sum(amid) / (ticks * bytes_))


main()
