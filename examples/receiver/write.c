/* The writing side: from record to record and from point to point, in the timer's interrupt. */
#include "parts.h"

#include <string.h>

/* Without a blanker the line, if there is one, blanks high. */
void receiver_beam(const struct receiver *receiver, bool on)
{
    receiver->hardware.beam(receiver->hardware.context, on, on == (receiver->machine.blank_level == RECEIVER_BLANKS_LOW));
}

static void scan(struct receiver *receiver, bool on)
{
    if (receiver->is_scanning != on && receiver->hardware.scan != NULL) {
        receiver->hardware.scan(receiver->hardware.context, on);
    }
    receiver->is_scanning = on;
}

void receiver_rewind(struct receiver *receiver)
{
    receiver->come = receiver->done = receiver->opened = 0;
    receiver->done_records = 0;
    receiver->reading = 0;
    receiver->at = receiver->length = 0;
    receiver->is_ending = receiver->is_stopped = receiver->is_over = false;
    receiver->record_is_open = false;
    receiver->doing = RECEIVER_RESTS;
    receiver->line.left = 0;
    memset(&receiver->current, 0, sizeof receiver->current);
    memset(&receiver->next, 0, sizeof receiver->next);
}

void receiver_conclude(struct receiver *receiver, uint8_t kind, enum receiver_fault fault)
{
    receiver_beam(receiver, false);
    scan(receiver, false);
    receiver->over_kind = kind;
    receiver->over_fault = (uint8_t)fault;
    receiver->over_cut = receiver->record_is_open;
    receiver->doing = RECEIVER_RESTS;
    receiver->is_stopped = true;
    RECEIVER_BARRIER();
    receiver->is_over = true;
}

/* ---- what comes next ---- */

static struct receiver_axis axis_of(uint32_t start, uint32_t end, uint32_t points)
{
    const uint32_t steps = points > 1 ? points - 1 : 1;
    const int64_t divisor = 2 * (int64_t)steps;
    const int64_t distance = 2 * ((int64_t)end - (int64_t)start);
    int64_t whole = distance / divisor;
    int64_t spare = distance % divisor;
    if (spare < 0) {
        spare += divisor;
        whole--;
    }
    const struct receiver_axis axis = {start, (uint32_t)whole, (uint32_t)spare, (uint32_t)(divisor - spare), steps};
    return axis;
}

static void axis_on(struct receiver_axis *axis)
{
    axis->code += axis->whole;
    if (axis->carried >= axis->room) {
        axis->carried -= axis->room;
        axis->code++;
    } else {
        axis->carried += axis->spare;
    }
}

static uint32_t top_bit(const struct receiver *receiver)
{
    return receiver->machine.coding == 2 ? (uint32_t)1 << (receiver->machine.bits - 1) : 0;
}

static void open_line(struct receiver *receiver, const uint8_t *record)
{
    struct receiver_line *line = &receiver->line;
    const uint32_t flip = top_bit(receiver);
    (void)receiver_pair(receiver, record, 5, &line->left);
    (void)receiver_pair(receiver, record, 7, &line->each);
    (void)receiver_pair(receiver, record, 9, &line->more);
    line->room = line->left - line->more;
    line->carried = 0;
    line->x = axis_of(receiver_word(receiver, record, 1) ^ flip, receiver_word(receiver, record, 3) ^ flip, line->left);
    line->y = axis_of(receiver_word(receiver, record, 2) ^ flip, receiver_word(receiver, record, 4) ^ flip, line->left);
}

static void next_of_line(struct receiver *receiver)
{
    struct receiver_line *line = &receiver->line;
    struct receiver_action *next = &receiver->next;
    const uint32_t flip = top_bit(receiver);
    next->doing = RECEIVER_POINT;
    next->x = line->x.code ^ flip;
    next->y = line->y.code ^ flip;
    next->ticks = line->each;
    if (line->carried >= line->room) {
        line->carried -= line->room;
        next->ticks++;
    } else {
        line->carried += line->more;
    }
    line->left--;
    next->ends_record = line->left == 0;
    next->ends_block = next->ends_record && receiver->at == receiver->length;
    if (line->left > 0) {
        axis_on(&line->x);
        axis_on(&line->y);
    }
}

static void next_record(struct receiver *receiver, const uint8_t *record)
{
    static const uint8_t doing[] = {RECEIVER_RESTS, RECEIVER_JUMP, RECEIVER_POINT, RECEIVER_POINT, RECEIVER_WAIT, RECEIVER_MARKER, RECEIVER_TRIGGER};
    struct receiver_action *next = &receiver->next;
    const uint32_t kind = receiver_word(receiver, record, 0);
    receiver->at = (uint16_t)(receiver->at + receiver_record_bytes(receiver, kind));
    next->begins_record = true;
    if (kind == LINE) {
        open_line(receiver, record);
        next_of_line(receiver);
        return;
    }
    next->doing = doing[kind];
    next->ends_record = true;
    next->ends_block = receiver->at == receiver->length;
    if (kind == JUMP || kind == DOT) {
        next->x = receiver_word(receiver, record, 1);
        next->y = receiver_word(receiver, record, 2);
        (void)receiver_pair(receiver, record, 3, &next->ticks);
    } else {
        (void)receiver_pair(receiver, record, 1, &next->ticks);
    }
}

/* Makes the next action ready, or leaves none where no block has come. */
static void prepare(struct receiver *receiver)
{
    receiver->next.begins_record = false;
    receiver->next.doing = RECEIVER_RESTS;
    if (receiver->line.left > 0) {
        next_of_line(receiver);
        return;
    }
    if (receiver->at == receiver->length) {
        if (receiver->opened == receiver->come) {
            return;
        }
        RECEIVER_BARRIER();
        if (receiver->length > 0) {
            receiver->reading = (uint8_t)(receiver->reading + 1u == receiver->room_count ? 0u : receiver->reading + 1u);
        }
        receiver->opened++;
        receiver->at = 0;
        receiver->length = (uint16_t)receiver_get(receiver->rooms[receiver->reading] + 2, 2);
    }
    const uint8_t *block = receiver->rooms[receiver->reading];
    if (block[0] == END_BLOCK) {
        receiver->next.doing = RECEIVER_END;
        return;
    }
    next_record(receiver, block + BLOCK_HEADER + receiver->at);
}

/* ---- steps ---- */

static void complete(struct receiver *receiver, const struct receiver_action *action)
{
    if (!action->ends_record) {
        return;
    }
    receiver->record_is_open = false;
    if (action->ends_block) {
        receiver->done_records = 0;
        receiver->done++;
    } else {
        receiver->done_records++;
    }
}

static void perform(struct receiver *receiver, const struct receiver_action *action)
{
    const struct receiver_hardware *hardware = &receiver->hardware;
    scan(receiver, true);
    receiver->record_is_open = true;
    switch (action->doing) {
    case RECEIVER_POINT:
        if (action->ticks > 0) {
            hardware->move(hardware->context, action->x, action->y);
            receiver_beam(receiver, true);
        }
        break;
    case RECEIVER_JUMP:
        receiver_beam(receiver, false);
        hardware->move(hardware->context, action->x, action->y);
        break;
    case RECEIVER_MARKER:
        if (hardware->marker != NULL) {
            hardware->marker(hardware->context, action->ticks);
        }
        break;
    default:
        receiver_beam(receiver, false);
        break;
    }
}

static struct receiver_step rests(void)
{
    const struct receiver_step step = {RECEIVER_RESTS, 0};
    return step;
}

/* An end that was asked for, or an open interlock: nothing more is begun. */
static bool must_end(struct receiver *receiver)
{
    if (receiver->is_ending) {
        receiver_conclude(receiver, receiver->end_kind, (enum receiver_fault)receiver->end_fault);
        return true;
    }
    if (receiver->hardware.interlock_is_closed != NULL && !receiver->hardware.interlock_is_closed(receiver->hardware.context)) {
        receiver_conclude(receiver, 'F', RECEIVER_MACHINE_FAULT);
        return true;
    }
    return false;
}

static void end_of_stream(struct receiver *receiver)
{
    if (receiver->totals_are_right) {
        receiver->done++;
        receiver_conclude(receiver, 'D', RECEIVER_NO_FAULT);
    } else {
        receiver_conclude(receiver, 'F', RECEIVER_BAD_TOTALS);
    }
}

static struct receiver_step go_on(struct receiver *receiver)
{
    complete(receiver, &receiver->current);
    receiver->current.doing = RECEIVER_RESTS;
    receiver->current.ends_record = false;
    for (;;) {
        if (must_end(receiver)) {
            return rests();
        }
        if (receiver->next.doing == RECEIVER_RESTS) {
            prepare(receiver);
        }
        if (receiver->next.doing == RECEIVER_RESTS) {
            /* The next block is not here yet, and it may never come. */
            receiver_beam(receiver, false);
            receiver->doing = RECEIVER_RESTS;
            return rests();
        }
        if (receiver->next.doing == RECEIVER_END) {
            end_of_stream(receiver);
            return rests();
        }
        receiver->current = receiver->next;
        receiver->next.doing = RECEIVER_RESTS;
        perform(receiver, &receiver->current);
        if (receiver->current.doing != RECEIVER_MARKER) {
            break;
        }
        complete(receiver, &receiver->current);
        receiver->current.ends_record = false;
    }
    receiver->doing = receiver->current.doing;
    receiver->begun++;
    prepare(receiver);
    const struct receiver_step step = {(enum receiver_doing)receiver->current.doing, receiver->current.ticks};
    return step;
}

struct receiver_step receiver_step(struct receiver *receiver)
{
    if (!receiver->is_open || receiver->is_stopped) {
        return rests();
    }
    if (receiver->current.doing == RECEIVER_TRIGGER) {
        receiver_conclude(receiver, 'F', RECEIVER_NO_TRIGGER);
        return rests();
    }
    return go_on(receiver);
}

bool receiver_trigger(struct receiver *receiver, struct receiver_step *step)
{
    if (!receiver->is_open || receiver->is_stopped || receiver->current.doing != RECEIVER_TRIGGER) {
        return false;
    }
    *step = go_on(receiver);
    return true;
}
