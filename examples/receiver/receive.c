/*
 * Runs the receiver on a computer: the stream comes from standard input, what the hardware would do goes to a file as
 * lines of text, and messages go to standard output.
 *
 *   receive BITS CODING ACTIONS [TICKS_PER_SECOND [LEVEL [ROOMS]]]
 *
 * With ticks per second, above 0, the program takes as long as the real thing and its trigger input has an edge every 20 ms;
 * without, time is skipped and an edge comes as soon as one is waited for. The level is that of the blank line with the beam
 * off: 1 high (if left out), 2 low, 3 no blanker. Where it is given, the file tells every change of the line. Rooms are the
 * blocks that it holds, 2 to 255 (2 if left out). The first fault ends nothing: like a controller it waits for the next
 * header, until its input ends.
 */
#define _POSIX_C_SOURCE 200809L
#include "receiver.h"

#include <errno.h>
#include <poll.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>
#include <unistd.h>

enum { PATIENCE_MILLISECONDS = 10000, POLL_MILLISECONDS = 10, MOST_ROOMS = 255, FEWEST_ROOMS = 2, MILLION = 1000000 };

static const int64_t trigger_period = 20 * MILLION; /* nanoseconds */

struct bench {
    FILE *actions;
    uint32_t x;
    uint32_t y;
    bool tells_line;
    bool has_line;
    bool line_is_high;
    bool beam;
    double ticks_per_second; /* 0: time is skipped */
    bool is_active;
    bool is_due_trigger;
    int64_t due;     /* nanoseconds */
    int64_t trigger;
};

static uint8_t rooms[MOST_ROOMS][RECEIVER_ROOM];

static int64_t nanoseconds(void)
{
    struct timespec now;
    clock_gettime(CLOCK_MONOTONIC, &now);
    return (int64_t)now.tv_sec * 1000 * MILLION + now.tv_nsec;
}

static void move(void *context, uint32_t x, uint32_t y)
{
    struct bench *bench = context;
    bench->x = x;
    bench->y = y;
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

static void log_step(struct bench *bench, struct receiver_step step)
{
    switch (step.doing) {
    case RECEIVER_POINT:
        if (step.ticks > 0) {
            fprintf(bench->actions, "dot %u %u %u\n", bench->x, bench->y, step.ticks);
        }
        break;
    case RECEIVER_JUMP:
        fprintf(bench->actions, "jump %u %u %u\n", bench->x, bench->y, step.ticks);
        break;
    case RECEIVER_WAIT:
        fprintf(bench->actions, "wait %u\n", step.ticks);
        break;
    case RECEIVER_TRIGGER:
        fprintf(bench->actions, "trigger %u\n", step.ticks);
        break;
    default:
        break;
    }
}

/* Does all that is due; returns whether something has begun that takes time still to come. */
static void write_on(struct receiver *receiver, struct bench *bench)
{
    for (;;) {
        const int64_t now = nanoseconds();
        struct receiver_step step = {RECEIVER_RESTS, 0};
        int64_t begin = now;
        if (bench->is_active && bench->is_due_trigger && (bench->ticks_per_second <= 0 || now >= bench->trigger)) {
            (void)receiver_trigger(receiver, &step);
        } else if (!bench->is_active || bench->ticks_per_second <= 0 || now >= bench->due) {
            begin = bench->is_active ? bench->due : now;
            step = receiver_step(receiver);
        } else {
            return;
        }
        log_step(bench, step);
        bench->is_active = step.doing != RECEIVER_RESTS;
        bench->is_due_trigger = step.doing == RECEIVER_TRIGGER;
        if (!bench->is_active) {
            return;
        }
        if (bench->ticks_per_second > 0) {
            bench->due = begin + (int64_t)(step.ticks * 1e9 / bench->ticks_per_second);
            bench->trigger = (now / trigger_period + 1) * trigger_period;
        }
    }
}

/* How long the link may be waited for. */
static int patience(const struct bench *bench)
{
    if (!bench->is_active) {
        return POLL_MILLISECONDS;
    }
    const int64_t end = bench->is_due_trigger && bench->trigger < bench->due ? bench->trigger : bench->due;
    const int64_t left = (end - nanoseconds()) / MILLION;
    return left < 0 ? 0 : left > POLL_MILLISECONDS ? POLL_MILLISECONDS : (int)left;
}

static int run(struct receiver *receiver, struct bench *bench)
{
    uint8_t bytes[256];
    size_t held = 0;
    size_t used = 0;
    bool is_open = true;
    for (;;) {
        write_on(receiver, bench);
        receiver_poll(receiver, (uint32_t)(nanoseconds() / MILLION));
        if (used < held) {
            /* Where time is skipped everything is written before the next byte is looked at. */
            used += receiver_bytes(receiver, bytes + used, bench->ticks_per_second > 0 ? held - used : 1);
            if (used < held && bench->ticks_per_second <= 0) {
                continue;
            }
        }
        if (!is_open) {
            if (used == held && !bench->is_active) {
                receiver_give_up(receiver, RECEIVER_STARVED);
                receiver_poll(receiver, (uint32_t)(nanoseconds() / MILLION));
                fprintf(bench->actions, "beam %s\n", bench->beam ? "on" : "off");
                return receiver->message[1] == 'D' ? 0 : 1;
            }
            if (bench->is_active) {
                (void)poll(NULL, 0, patience(bench));
            }
            continue;
        }
        struct pollfd input = {STDIN_FILENO, POLLIN, 0};
        const int ready = poll(&input, used == held ? 1 : 0, patience(bench));
        if (ready < 0 && errno != EINTR) {
            return 1;
        }
        if (ready > 0) {
            const ssize_t count = read(STDIN_FILENO, bytes, sizeof bytes);
            is_open = count > 0;
            used = 0;
            held = is_open ? (size_t)count : 0;
        }
    }
}

int main(int argc, char **argv)
{
    if (argc < 4) {
        fprintf(stderr, "usage: receive BITS CODING ACTIONS [TICKS_PER_SECOND [LEVEL [ROOMS]]]\n");
        return 2;
    }
    struct bench bench = {0};
    bench.ticks_per_second = argc > 4 ? strtod(argv[4], NULL) : 0;
    const unsigned long room_count = argc > 6 ? strtoul(argv[6], NULL, 10) : FEWEST_ROOMS;
    if (room_count < FEWEST_ROOMS || room_count > MOST_ROOMS) {
        fprintf(stderr, "rooms: %d to %d\n", FEWEST_ROOMS, MOST_ROOMS);
        return 2;
    }
    bench.actions = fopen(argv[3], "w");
    if (bench.actions == NULL) {
        perror(argv[3]);
        return 2;
    }
    struct receiver_machine machine = {0};
    machine.bits = (uint8_t)strtoul(argv[1], NULL, 10);
    machine.coding = (uint8_t)strtoul(argv[2], NULL, 10);
    machine.blank_level = argc > 5 ? (uint8_t)strtoul(argv[5], NULL, 10) : RECEIVER_BLANKS_HIGH;
    machine.takes_lines = true;
    machine.takes_triggers = true;
    machine.timeout_milliseconds = PATIENCE_MILLISECONDS;
    bench.tells_line = argc > 5;
    const struct receiver_hardware hardware = {&bench, move, beam, NULL, marker, send, NULL, NULL, NULL};
    struct receiver receiver;
    receiver_start(&receiver, &machine, &hardware, rooms, (uint8_t)room_count);
    const int result = run(&receiver, &bench);
    return fclose(bench.actions) == 0 ? result : 1;
}
