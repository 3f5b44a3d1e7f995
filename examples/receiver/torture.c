/*
 * Feeds the receiver every damaged form of a stream: each bit flipped, each truncation, each byte lost, each byte
 * doubled, random garbage; with bytes faster and slower than the writing. Checks after each that the beam is off, that
 * nothing was written that the whole stream does not say, that a damaged stream is never reported as done, and that a timer which
 * stops is found.
 *
 *   torture BITS CODING STREAM LEVEL
 */
#include "receiver.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { MOST_BYTES = 1 << 16, MOST_ACTIONS = 1 << 16, GARBAGE_RUNS = 20000, GARBAGE_BYTES = 700, ROOMS = 3 };

struct action {
    uint32_t x;
    uint32_t y;
    uint32_t ticks;
    bool beam;
};

struct bench {
    struct action actions[MOST_ACTIONS];
    size_t count;
    uint32_t x;
    uint32_t y;
    bool beam;
    uint8_t message[RECEIVER_MESSAGE];
};

static bool blanks_low;
static struct bench whole;
static struct bench damaged;
static uint8_t stream[MOST_BYTES];
static uint8_t changed[MOST_BYTES + 1];
static uint8_t rooms[ROOMS][RECEIVER_ROOM];
static uint32_t seed = 12345;

static uint32_t dice(void)
{
    seed = seed * 1664525u + 1013904223u;
    return seed >> 24;
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
    if (line_is_high != (on == blanks_low)) {
        fprintf(stderr, "the blank line has the wrong level\n");
        exit(1);
    }
}

static void send(void *context, const uint8_t *message, size_t length)
{
    struct bench *bench = context;
    if (length != RECEIVER_MESSAGE || message[0] != 0xA5) {
        fprintf(stderr, "a message of %zu bytes\n", length);
        exit(1);
    }
    memcpy(bench->message, message, length);
}

/* Some steps of the writing side, or all that there are. Triggers come at once. */
static void write_on(struct receiver *receiver, struct bench *bench, size_t most)
{
    for (size_t i = 0; i < most; i++) {
        struct receiver_step step = {RECEIVER_RESTS, 0};
        if (!receiver_trigger(receiver, &step)) {
            step = receiver_step(receiver);
        }
        if (step.doing == RECEIVER_RESTS) {
            if (bench->beam) {
                fprintf(stderr, "the beam is on at rest\n");
                exit(1);
            }
            return;
        }
        if (bench->beam != (step.doing == RECEIVER_POINT && step.ticks > 0) && step.ticks > 0) {
            fprintf(stderr, "the beam is %s\n", bench->beam ? "on" : "off");
            exit(1);
        }
        if (bench->count < MOST_ACTIONS) {
            const struct action action = {bench->x, bench->y, step.ticks, bench->beam};
            bench->actions[bench->count] = action;
        }
        bench->count++;
    }
}

/* Steps after each piece: all, or a random number below the pace. */
static void feed(struct bench *bench, const struct receiver_machine *machine, const uint8_t *bytes, size_t count, size_t piece, size_t pace)
{
    struct receiver receiver;
    const struct receiver_hardware hardware = {bench, move, beam, NULL, NULL, send, NULL, NULL, NULL};
    uint32_t milliseconds = 0;
    bench->count = 0;
    bench->x = bench->y = 0;
    bench->beam = true;
    receiver_start(&receiver, machine, &hardware, rooms, ROOMS);
    while (count > 0) {
        const size_t part = receiver_bytes(&receiver, bytes, count < piece ? count : piece);
        write_on(&receiver, bench, pace == 0 ? SIZE_MAX : part == 0 ? 1 : dice() % pace);
        receiver_poll(&receiver, milliseconds++);
        bytes += part;
        count -= part;
    }
    write_on(&receiver, bench, SIZE_MAX);
    receiver_give_up(&receiver, RECEIVER_STARVED);
    write_on(&receiver, bench, SIZE_MAX);
    receiver_poll(&receiver, milliseconds);
}

static unsigned alive_calls;

static void alive(void *context)
{
    (void)context;
    alive_calls++;
}

/* A timer that stops within the stream: the beam goes off, the fault is told, and the watchdog is left to bite. */
static void check_dead_timer(const struct receiver_machine *live_machine, size_t length)
{
    struct receiver receiver;
    struct receiver_machine machine = *live_machine;
    const struct receiver_hardware hardware = {&damaged, move, beam, NULL, NULL, send, NULL, NULL, alive};
    machine.ticks_per_millisecond = UINT32_MAX;
    receiver_start(&receiver, &machine, &hardware, rooms, ROOMS);
    (void)receiver_bytes(&receiver, stream, length);
    for (uint32_t milliseconds = 0; milliseconds < 1000; milliseconds += 10) {
        receiver_poll(&receiver, milliseconds);
        if (milliseconds == 50) {
            (void)receiver_step(&receiver);
        }
    }
    if (damaged.beam || damaged.message[1] != 'F' || damaged.message[2] != RECEIVER_MACHINE_FAULT || alive_calls < 10 || alive_calls > 20) {
        fprintf(stderr, "a dead timer: beam %d, message %c %d, watchdog restarted %u times\n", damaged.beam, damaged.message[1], damaged.message[2], alive_calls);
        exit(1);
    }
}

static void check(const char *what, size_t where)
{
    bool is_part = damaged.count <= whole.count;
    for (size_t i = 0; is_part && i < damaged.count; i++) {
        is_part = memcmp(&damaged.actions[i].x, &whole.actions[i].x, 3 * sizeof(uint32_t)) == 0 &&
            damaged.actions[i].beam == whole.actions[i].beam;
    }
    if (damaged.beam || !is_part || damaged.message[1] == 'D') {
        fprintf(stderr, "%s at %zu: beam %d, %zu actions, message %c\n", what, where, damaged.beam, damaged.count, damaged.message[1]);
        exit(1);
    }
}

int main(int argc, char **argv)
{
    if (argc != 5) {
        fprintf(stderr, "usage: torture BITS CODING STREAM LEVEL\n");
        return 2;
    }
    struct receiver_machine machine = {0};
    machine.bits = (uint8_t)strtoul(argv[1], NULL, 10);
    machine.coding = (uint8_t)strtoul(argv[2], NULL, 10);
    machine.blank_level = (uint8_t)strtoul(argv[4], NULL, 10);
    machine.takes_lines = true;
    machine.takes_triggers = true;
    blanks_low = machine.blank_level == RECEIVER_BLANKS_LOW;
    FILE *file = fopen(argv[3], "rb");
    if (file == NULL) {
        perror(argv[3]);
        return 2;
    }
    const size_t length = fread(stream, 1, sizeof stream, file);
    fclose(file);

    feed(&whole, &machine, stream, length, length, 0);
    if (whole.message[1] != 'D' || whole.beam || whole.count > MOST_ACTIONS) {
        fprintf(stderr, "the whole stream is not done: message %c\n", whole.message[1]);
        return 1;
    }
    size_t runs = 1;
    for (size_t bit = 0; bit < 8 * length; bit++, runs++) {
        memcpy(changed, stream, length);
        changed[bit / 8] ^= (uint8_t)(1u << (bit % 8));
        feed(&damaged, &machine, changed, length, 7, bit % 5);
        check("flipped bit", bit);
    }
    for (size_t cut = 0; cut < length; cut++, runs++) {
        feed(&damaged, &machine, stream, cut, 5, cut % 7);
        check("truncation", cut);
    }
    for (size_t lost = 0; lost < length; lost++, runs++) {
        memcpy(changed, stream, lost);
        memcpy(changed + lost, stream + lost + 1, length - lost - 1);
        feed(&damaged, &machine, changed, length - 1, 3, lost % 4);
        check("lost byte", lost);
    }
    for (size_t twice = 0; twice < length; twice++, runs++) {
        memcpy(changed, stream, twice + 1);
        memcpy(changed + twice + 1, stream + twice, length - twice);
        /* A byte more before or after a whole stream does no harm. */
        if (memcmp(changed, stream, length) != 0 && memcmp(changed + 1, stream, length) != 0) {
            feed(&damaged, &machine, changed, length + 1, 11, twice % 9);
            check("doubled byte", twice);
        }
    }
    for (size_t run = 0; run < GARBAGE_RUNS; run++, runs++) {
        const size_t start = run % 2 == 0 ? 0 : (length < 200 ? length / 2 : 100 + run % 100);
        memcpy(changed, stream, start);
        for (size_t i = start; i < start + GARBAGE_BYTES; i++) {
            changed[i] = (uint8_t)dice();
        }
        feed(&damaged, &machine, changed, start + GARBAGE_BYTES, 64, run % 33);
        check("garbage", run);
    }
    if (whole.count > 0) {
        check_dead_timer(&machine, length);
    }
    printf("%zu runs, %zu bytes of state beside the rooms\n", runs, sizeof(struct receiver));
    return sizeof(struct receiver) <= 512 ? 0 : 1;
}
