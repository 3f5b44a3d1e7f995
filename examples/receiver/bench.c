/*
 * Leads the receiver through a script of faults.c on a bench and tells what an instrument at its pins would see.
 *
 *   bench < script > log
 *
 * Lines of the log: "run N"; "pins X Y LINE SCAN N", so for N ticks; "marker N"; "message" with 20 bytes in hexadecimal digits;
 * "end X Y LINE SCAN", the pins in the end.
 */
#include "receiver.h"

#include <inttypes.h>
#include <stdio.h>

enum { ROOMS = 4, TIMEOUT_MILLISECONDS = 300, MOST_TICKS_FOR_A_BYTE = 3000, QUIET_TICKS = 240 };

struct pins {
    uint32_t x;
    uint32_t y;
    bool line;
    bool scan;
};

static struct receiver receiver;
static uint8_t rooms[ROOMS][RECEIVER_ROOM];
static struct pins pins;
static struct pins seen;
static uint32_t seen_ticks;
static uint32_t milliseconds;
static uint32_t ticks_left;
static bool is_active;
static bool edge;
static bool interlock_closed = true;

static void flush(void)
{
    if (seen_ticks > 0) {
        printf("pins %" PRIu32 " %" PRIu32 " %d %d %" PRIu32 "\n", seen.x, seen.y, seen.line, seen.scan, seen_ticks);
    }
    seen_ticks = 0;
}

static void move(void *context, uint32_t x, uint32_t y)
{
    (void)context;
    pins.x = x;
    pins.y = y;
}

static void beam(void *context, bool on, bool line_is_high)
{
    (void)context;
    (void)on;
    pins.line = line_is_high;
}

static void scan(void *context, bool on)
{
    (void)context;
    pins.scan = on;
}

static void marker(void *context, uint32_t number)
{
    (void)context;
    flush();
    printf("marker %" PRIu32 "\n", number);
}

static void send(void *context, const uint8_t *message, size_t length)
{
    (void)context;
    flush();
    printf("message ");
    for (size_t i = 0; i < length; i++) {
        printf("%02x", message[i]);
    }
    printf("\n");
}

static bool closed(void *context)
{
    (void)context;
    return interlock_closed;
}

static void begin(struct receiver_step step)
{
    is_active = step.doing != RECEIVER_RESTS;
    ticks_left = step.ticks;
    edge = step.doing == RECEIVER_TRIGGER ? false : edge;
}

/* Everything begins and ends on ticks. */
static void tick(void)
{
    if (seen_ticks > 0 && (seen.x != pins.x || seen.y != pins.y || seen.line != pins.line || seen.scan != pins.scan)) {
        flush();
    }
    seen = pins;
    seen_ticks++;
    struct receiver_step step;
    if (is_active && edge && receiver_trigger(&receiver, &step)) {
        edge = false;
        begin(step);
    } else if (!is_active || --ticks_left == 0) {
        begin(receiver_step(&receiver));
    }
    edge = false;
    while (is_active && ticks_left == 0) {
        begin(receiver_step(&receiver));
    }
    receiver_poll(&receiver, milliseconds);
}

static void start(uint32_t settings)
{
    const struct receiver_hardware hardware = {NULL, move, beam, scan, marker, send, NULL, closed, NULL};
    struct receiver_machine machine = {0};
    machine.bits = (uint8_t)settings;
    machine.coding = (uint8_t)(settings >> 8);
    machine.blank_level = (uint8_t)(settings >> 16);
    machine.takes_lines = true;
    machine.takes_triggers = true;
    machine.timeout_milliseconds = TIMEOUT_MILLISECONDS;
    pins.scan = false;
    is_active = edge = false;
    milliseconds = 0;
    receiver_start(&receiver, &machine, &hardware, rooms, ROOMS);
    receiver_poll(&receiver, milliseconds);
}

static void take_byte(uint8_t byte)
{
    for (unsigned i = 0; receiver_bytes(&receiver, &byte, 1) == 0; i++) {
        if (i == MOST_TICKS_FOR_A_BYTE) {
            receiver_give_up(&receiver, RECEIVER_MACHINE_FAULT);
        } else {
            tick();
        }
    }
    receiver_poll(&receiver, milliseconds);
}

static void end(void)
{
    flush();
    printf("end %" PRIu32 " %" PRIu32 " %d %d\n", pins.x, pins.y, pins.line, pins.scan);
}

int main(void)
{
    char command;
    uint32_t value;
    uint32_t settings = 0;
    bool is_running = false;
    while (scanf(" %c %" SCNu32, &command, &value) == 2) {
        switch (command) {
        case 's':
            settings = value;
            break;
        case 'n':
            if (is_running) {
                end();
            }
            is_running = true;
            printf("run %" PRIu32 "\n", value);
            pins.x = pins.y = 0;
            interlock_closed = true;
            start(settings);
            break;
        case 'r':
            start(settings);
            break;
        case 'b':
            take_byte((uint8_t)value);
            break;
        case 't':
            while (value-- > 0) {
                tick();
            }
            break;
        case 'u':
            while (value-- > 0 && seen_ticks < QUIET_TICKS) {
                tick();
            }
            break;
        case 'm':
            while (value-- > 0) {
                receiver_poll(&receiver, ++milliseconds);
            }
            break;
        case 'e':
            edge = true;
            break;
        case 'f':
            break;
        case 'i':
            interlock_closed = value != 0;
            if (!interlock_closed) {
                receiver_give_up(&receiver, RECEIVER_MACHINE_FAULT);
                receiver_poll(&receiver, milliseconds);
            }
            break;
        default:
            fprintf(stderr, "unknown command %c\n", command);
            return 1;
        }
    }
    end();
    return 0;
}
