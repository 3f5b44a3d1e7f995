// Leads the Verilator model of the receiver through a script of faults.c and tells what an instrument at its pins would see, in the
// words of bench.c.
#include "Vpins.h"
#include "verilated.h"

#include <cinttypes>
#include <cstdint>
#include <cstdio>
#include <cstring>

namespace {

constexpr unsigned MessageBytes = 20;
constexpr unsigned MostTicksForAByte = 3000;
constexpr unsigned QuietTicks = 240;
constexpr unsigned QuietClocks = 3;
constexpr unsigned MostClocks = 100000;

struct Seen {
    uint32_t x, y;
    bool line, scan;
    bool operator==(const Seen &other) const { return x == other.x && y == other.y && line == other.line && scan == other.scan; }
};

class Bench {
public:
    uint64_t clocks = 0;

    Bench()
    {
        pins.interlock_closed = 1;
        pins.shortest_ticks = 0;
    }

    void clock()
    {
        pins.clk = 0;
        pins.eval();
        const bool sends = pins.out_valid;
        const uint8_t sent = pins.out_byte;
        pins.clk = 1;
        pins.eval();
        clocks++;
        if (pins.marker) {
            flush();
            std::printf("marker %" PRIu32 "\n", pins.marker_number);
        }
        if (sends) {
            if (message_length == 0) {
                flush();
                std::printf("message ");
            }
            std::printf("%02x", sent);
            if (++message_length == MessageBytes) {
                std::printf("\n");
                message_length = 0;
            }
        }
    }

    void settle()
    {
        unsigned quiet = 0;
        for (unsigned i = 0; quiet < QuietClocks && i < MostClocks; i++) {
            clock();
            quiet = pins.is_quiet ? quiet + 1 : 0;
        }
    }

    void start(uint32_t settings, bool clears)
    {
        pins.settings = settings;
        pins.reset = 1;
        pins.clear = clears;
        clock();
        clock();
        message_length = 0;
        pins.reset = 0;
        pins.clear = 0;
        settle();
    }

    void tick()
    {
        const Seen now = look();
        if (seen_ticks > 0 && !(now == seen))
            flush();
        seen = now;
        seen_ticks++;
        pins.tick = 1;
        clock();
        pins.tick = 0;
        settle();
    }

    void byte(uint8_t value)
    {
        pins.in_byte = value;
        pins.in_valid = 1;
        pins.eval();
        for (unsigned i = 0; !pins.in_ready; i++) {
            if (i == MostTicksForAByte) {
                pins.in_overrun = 1;
                clock();
                pins.in_overrun = 0;
                settle_until_ready();
                break;
            }
            pins.in_valid = 0;
            tick();
            pins.in_valid = 1;
            pins.eval();
        }
        clock();
        pins.in_valid = 0;
        settle();
    }

    void millisecond()
    {
        pins.millisecond = 1;
        clock();
        pins.millisecond = 0;
        settle();
    }

    void edge()
    {
        pins.trigger_edge = 1;
        clock();
        pins.trigger_edge = 0;
        settle();
    }

    void interlock(bool closed)
    {
        pins.interlock_closed = closed;
        settle();
    }

    bool has_changed_lately() const { return seen_ticks < QuietTicks; }

    void end()
    {
        flush();
        const Seen now = look();
        std::printf("end %" PRIu32 " %" PRIu32 " %d %d\n", now.x, now.y, now.line, now.scan);
    }

private:
    Vpins pins;
    Seen seen{};
    uint32_t seen_ticks = 0;
    unsigned message_length = 0;

    Seen look()
    {
        pins.eval();
        return {pins.x, pins.y, pins.blank != 0, pins.scan_enable != 0};
    }

    void settle_until_ready()
    {
        pins.in_valid = 0;
        settle();
        pins.in_valid = 1;
        pins.eval();
    }

    void flush()
    {
        if (seen_ticks > 0)
            std::printf("pins %" PRIu32 " %" PRIu32 " %d %d %" PRIu32 "\n", seen.x, seen.y, seen.line, seen.scan, seen_ticks);
        seen_ticks = 0;
    }
};

} // namespace

int main()
{
    Bench bench;
    char command;
    uint32_t value;
    uint32_t settings = 0;
    bool is_running = false;
    while (std::scanf(" %c %" SCNu32, &command, &value) == 2) {
        switch (command) {
        case 's': settings = value; break;
        case 'n':
            if (is_running)
                bench.end();
            is_running = true;
            bench.interlock(true);
            std::printf("run %" PRIu32 "\n", value);
            bench.start(settings, true);
            break;
        case 'r': bench.start(settings, false); break;
        case 'b': bench.byte(static_cast<uint8_t>(value)); break;
        case 't':
            while (value-- > 0)
                bench.tick();
            break;
        case 'u':
            while (value-- > 0 && bench.has_changed_lately())
                bench.tick();
            break;
        case 'm':
            while (value-- > 0)
                bench.millisecond();
            break;
        case 'e': bench.edge(); break;
        case 'f': break;
        case 'i': bench.interlock(value != 0); break;
        default: std::fprintf(stderr, "unknown command %c\n", command); return 1;
        }
    }
    bench.end();
    std::fprintf(stderr, "%" PRIu64 " clocks\n", bench.clocks);
    return 0;
}
