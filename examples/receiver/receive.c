/*
 * Runs the receiver on a computer: the stream comes from standard input, what the hardware would do goes to a file as
 * lines of text, and messages go to standard output.
 *
 *   receive BITS CODING ACTIONS [ticks-per-second [level]]
 *
 * With ticks per second, above 0, the program really waits; without, time is skipped. The level is that of the blank line
 * with the beam off: 1 high (if left out), 2 low, 3 no blanker. Where it is given, the file tells every change of the line. The first fault ends nothing: like a
 * controller it waits for the next header, until its input ends.
 */
#define _POSIX_C_SOURCE 200809L
#include "receiver.h"

#include <errno.h>
#include <poll.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

enum { REPEAT_MILLISECONDS = 250, PATIENCE_REPEATS = 40 };

struct bench {
    FILE *actions;
    uint32_t x;
    uint32_t y;
    bool beam;
    bool has_moved;
    bool tells_line;
    bool has_line;
    bool line_is_high;
    double ticks_per_second;
};

static void move(void *context, uint32_t x, uint32_t y)
{
    struct bench *bench = context;
    bench->x = x;
    bench->y = y;
    bench->has_moved = true;
}

static void beam(void *context, bool on, bool line_is_high)
{
    struct bench *bench = context;
    bench->beam = on;
    if (bench->tells_line && (!bench->has_line || bench->line_is_high != line_is_high)) {
        fprintf(bench->actions, "line %s\n", line_is_high ? "high" : "low");
        bench->has_line = true;
        bench->line_is_high = line_is_high;
    }
}

static void hold(void *context, uint32_t ticks)
{
    struct bench *bench = context;
    if (bench->beam) {
        fprintf(bench->actions, "dot %u %u %u\n", bench->x, bench->y, ticks);
    } else if (bench->has_moved) {
        fprintf(bench->actions, "jump %u %u %u\n", bench->x, bench->y, ticks);
    } else {
        fprintf(bench->actions, "wait %u\n", ticks);
    }
    bench->has_moved = false;
    if (bench->ticks_per_second > 0) {
        const double seconds = ticks / bench->ticks_per_second;
        struct timespec rest = {(time_t)seconds, (long)((seconds - (double)(time_t)seconds) * 1e9)};
        while (nanosleep(&rest, &rest) != 0 && errno == EINTR) {
        }
    }
}

static void marker(void *context, uint32_t number)
{
    struct bench *bench = context;
    fprintf(bench->actions, "marker %u\n", number);
}

static void send(void *context, const uint8_t *message, size_t length)
{
    struct bench *bench = context;
    fflush(bench->actions);
    while (length > 0) {
        const ssize_t written = write(STDOUT_FILENO, message, length);
        if (written < 0 && errno != EINTR) {
            return; /* nobody listens; the stream goes on without messages */
        }
        if (written > 0) {
            message += written;
            length -= (size_t)written;
        }
    }
}

static int run(struct receiver *receiver, struct bench *bench)
{
    uint8_t bytes[256];
    int quiet = 0;
    for (;;) {
        struct pollfd input = {STDIN_FILENO, POLLIN, 0};
        const int ready = poll(&input, 1, REPEAT_MILLISECONDS);
        if (ready < 0 && errno != EINTR) {
            return 1;
        }
        if (ready <= 0) {
            receiver_repeat(receiver);
            if (receiver->state != RECEIVER_SEEKING && ++quiet >= PATIENCE_REPEATS) {
                receiver_give_up(receiver, RECEIVER_STARVED);
            }
            continue;
        }
        quiet = 0;
        const ssize_t count = read(STDIN_FILENO, bytes, sizeof bytes);
        if (count <= 0) {
            receiver_give_up(receiver, RECEIVER_STARVED);
            fprintf(bench->actions, "beam %s\n", bench->beam ? "on" : "off");
            return receiver->kind == 'D' ? 0 : 1;
        }
        receiver_bytes(receiver, bytes, (size_t)count);
    }
}

int main(int argc, char **argv)
{
    if (argc < 4) {
        fprintf(stderr, "usage: receive BITS CODING ACTIONS [TICKS_PER_SECOND [LEVEL]]\n");
        return 2;
    }
    struct bench bench = {0};
    bench.actions = fopen(argv[3], "w");
    bench.ticks_per_second = argc > 4 ? strtod(argv[4], NULL) : 0;
    if (bench.actions == NULL) {
        perror(argv[3]);
        return 2;
    }
    struct receiver_machine machine = {0};
    machine.bits = (uint8_t)strtoul(argv[1], NULL, 10);
    machine.coding = (uint8_t)strtoul(argv[2], NULL, 10);
    machine.blank_level = argc > 5 ? (uint8_t)strtoul(argv[5], NULL, 10) : RECEIVER_BLANKS_HIGH;
    machine.takes_lines = true;
    bench.tells_line = argc > 5;
    const struct receiver_hardware hardware = {&bench, move, beam, hold, marker, send};
    struct receiver receiver;
    receiver_start(&receiver, &machine, &hardware);
    const int result = run(&receiver, &bench);
    return fclose(bench.actions) == 0 ? result : 1;
}
