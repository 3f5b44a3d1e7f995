/*
 * Feeds the receiver every damaged form of a stream: each bit flipped, each truncation, each byte lost, each byte
 * doubled, random garbage. Checks after each that the beam is off, that nothing was written that the whole stream does
 * not say, and that a damaged stream is never reported as done.
 *
 *   torture BITS CODING STREAM LEVEL
 */
#include "receiver.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { MOST_BYTES = 1 << 16, MOST_ACTIONS = 1 << 16, GARBAGE_RUNS = 20000, GARBAGE_BYTES = 700 };

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
    uint8_t kind;
};

static bool blanks_low;
static struct bench whole;
static struct bench damaged;
static uint8_t stream[MOST_BYTES];
static uint8_t changed[MOST_BYTES + 1];

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

static void hold(void *context, uint32_t ticks)
{
    struct bench *bench = context;
    if (bench->count < MOST_ACTIONS) {
        const struct action action = {bench->x, bench->y, ticks, bench->beam};
        bench->actions[bench->count] = action;
    }
    bench->count++;
}

static void marker(void *context, uint32_t number)
{
    (void)context;
    (void)number;
}

static void send(void *context, const uint8_t *message, size_t length)
{
    struct bench *bench = context;
    if (length != RECEIVER_MESSAGE || message[0] != 0xA5) {
        fprintf(stderr, "a message of %zu bytes\n", length);
        exit(1);
    }
    bench->kind = message[1];
}

static void feed(struct bench *bench, const struct receiver_machine *machine, const uint8_t *bytes, size_t count, size_t piece)
{
    struct receiver receiver;
    const struct receiver_hardware hardware = {bench, move, beam, hold, marker, send};
    bench->count = 0;
    bench->x = bench->y = 0;
    bench->beam = true;
    receiver_start(&receiver, machine, &hardware);
    while (count > 0) {
        const size_t part = count < piece ? count : piece;
        receiver_bytes(&receiver, bytes, part);
        if (bench->beam) {
            fprintf(stderr, "the beam is on between two pieces\n");
            exit(1);
        }
        bytes += part;
        count -= part;
    }
    receiver_give_up(&receiver, RECEIVER_STARVED);
}

static void check(const char *what, size_t where)
{
    bool is_part = damaged.count <= whole.count;
    for (size_t i = 0; is_part && i < damaged.count; i++) {
        is_part = memcmp(&damaged.actions[i].x, &whole.actions[i].x, 3 * sizeof(uint32_t)) == 0 &&
            damaged.actions[i].beam == whole.actions[i].beam;
    }
    if (damaged.beam || !is_part || damaged.kind == 'D') {
        fprintf(stderr, "%s at %zu: beam %d, %zu actions, message %c\n", what, where, damaged.beam, damaged.count, damaged.kind);
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
    blanks_low = machine.blank_level == RECEIVER_BLANKS_LOW;
    FILE *file = fopen(argv[3], "rb");
    if (file == NULL) {
        perror(argv[3]);
        return 2;
    }
    const size_t length = fread(stream, 1, sizeof stream, file);
    fclose(file);

    feed(&whole, &machine, stream, length, length);
    if (whole.kind != 'D' || whole.beam || whole.count > MOST_ACTIONS) {
        fprintf(stderr, "the whole stream is not done: message %c\n", whole.kind);
        return 1;
    }
    size_t runs = 1;
    for (size_t bit = 0; bit < 8 * length; bit++, runs++) {
        memcpy(changed, stream, length);
        changed[bit / 8] ^= (uint8_t)(1u << (bit % 8));
        feed(&damaged, &machine, changed, length, 7);
        check("flipped bit", bit);
    }
    for (size_t cut = 0; cut < length; cut++, runs++) {
        feed(&damaged, &machine, stream, cut, 5);
        check("truncation", cut);
    }
    for (size_t lost = 0; lost < length; lost++, runs++) {
        memcpy(changed, stream, lost);
        memcpy(changed + lost, stream + lost + 1, length - lost - 1);
        feed(&damaged, &machine, changed, length - 1, 3);
        check("lost byte", lost);
    }
    for (size_t twice = 0; twice < length; twice++, runs++) {
        memcpy(changed, stream, twice + 1);
        memcpy(changed + twice + 1, stream + twice, length - twice);
        /* A byte more before or after a whole stream does no harm. */
        if (memcmp(changed, stream, length) != 0 && memcmp(changed + 1, stream, length) != 0) {
            feed(&damaged, &machine, changed, length + 1, 11);
            check("doubled byte", twice);
        }
    }
    uint32_t seed = 12345;
    for (size_t run = 0; run < GARBAGE_RUNS; run++, runs++) {
        const size_t start = run % 2 == 0 ? 0 : (length < 200 ? length / 2 : 100 + run % 100);
        memcpy(changed, stream, start);
        for (size_t i = start; i < start + GARBAGE_BYTES; i++) {
            seed = seed * 1664525u + 1013904223u;
            changed[i] = (uint8_t)(seed >> 24);
        }
        feed(&damaged, &machine, changed, start + GARBAGE_BYTES, 64);
        check("garbage", run);
    }
    printf("%zu runs, %zu bytes of state\n", runs, sizeof(struct receiver));
    return sizeof(struct receiver) < 1024 ? 0 : 1;
}
