// The writing side: goes from point to point and from block to block. What comes next is ready, in the converters' own latches
// where they have such, before what runs is over; everything changes on a tick, so a point lasts its ticks exactly. Where the next
// thing is not ready the beam goes off and the deflection holds.
`default_nettype none

module record_player #(
    parameter LOG2_BLOCKS = 2,
    parameter CODE_BITS = 24
) (
    input  wire        clk,
    input  wire        reset,
    input  wire        begins,           // pulse: a header was accepted or refused, there is no progress
    input  wire        is_open,
    input  wire        tick,
    // ends that others ask for
    input  wire        is_ending,        // at the end of the point in progress
    input  wire        end_at_once,
    input  wire        trigger_edge,     // pulse
    // memory and link
    input  wire [2:0]  word_bytes,
    input  wire [CODE_BITS-1:0] flip,
    input  wire [LOG2_BLOCKS:0] come,    // its lower bits
    output wire [LOG2_BLOCKS+7:0] read_address,
    input  wire [31:0] read_data,
    output wire [LOG2_BLOCKS-1:0] room,
    input  wire [7:0]  room_records,
    // progress
    output reg  [31:0] done,             // blocks written completely
    output reg  [7:0]  done_records,     // records written completely in the block after those
    output reg         progressed,       // pulse: more blocks are written
    output reg         record_open,      // a record has begun and is not complete
    output wire        is_exposing,      // a point runs
    output wire        is_resting,
    output reg         stream_done,      // pulse: the end block was right
    output reg         totals_bad,       // pulse
    output reg         no_trigger,       // pulse
    // converters
    output reg         load,             // pulse: a next position is there
    output wire [CODE_BITS-1:0] next_x,          // words in the converters' own coding
    output wire [CODE_BITS-1:0] next_y,
    input  wire        loaded,           // update may come
    output wire        update,           // pulse: the next position becomes the position
    // outputs
    output reg         beam_on,
    output reg         scan_on,
    output reg         marker,           // pulse
    output reg  [31:0] marker_number
);
    localparam [2:0] JUMP = 1, DOT = 2, LINE = 3, WAIT = 4, MARKER = 5, TRIGGER = 6, END = 7, NONE = 0;

    wire clear = begins || !is_open;

    // ---- records ----
    wire        staged, idle, totals_right, staged_ends_block;
    wire [2:0]  kind;
    wire [CODE_BITS-1:0] x, y;
    wire [31:0] value;
    wire [30:0] points, more, steps, x_spare, y_spare;
    wire [CODE_BITS:0] x_whole, y_whole;
    wire        take;
    // Bytes that stay 0 are left out: 2^48 points take years.
    reg  [47:0] total_records, total_points;
    reg  [55:0] total_ticks;
    wire [255:0] totals = {64'd0, 8'd0, total_ticks, 16'd0, total_points, 16'd0, total_records};
    wire [4:0]  total_index;
    reg         counted, counted_record, counted_point;
    reg  [31:0] counted_ticks;
    reg         line_runs;
    wire        no_next;

    record_fetch #(.LOG2_BLOCKS(LOG2_BLOCKS), .CODE_BITS(CODE_BITS)) fetch (
        .clk(clk), .clear(clear || reset), .is_open(is_open), .word_bytes(word_bytes), .flip(flip), .come(come),
        .read_address(read_address), .read_data(read_data), .room(room), .room_records(room_records),
        .nothing_before(!line_runs && !counted), .total_index(total_index), .total_byte(totals[{total_index, 3'b000} +: 8]),
        .staged(staged), .take(take), .kind(kind), .totals_right(totals_right), .ends_block(staged_ends_block), .x(x), .y(y),
        .value(value), .points(points), .more(more), .steps(steps), .x_whole(x_whole), .x_spare(x_spare),
        .y_whole(y_whole), .y_spare(y_spare), .idle(idle));

    // ---- the line in progress: one more point whenever the next action is empty ----
    reg  [30:0] left;            // points to come
    reg  [31:0] each;
    reg         each_is_zero;
    reg         line_ends_block;
    wire [CODE_BITS-1:0] line_x, line_y;
    wire        one_more, x_carries, y_carries, each_bit;
    wire        load_line = take && kind == LINE;
    wire        advance;

    line_axis #(.CODE_BITS(CODE_BITS)) walk_x (
        .clk(clk), .load(load_line), .first(x), .whole(x_whole), .spare({x_spare, 1'b0}), .room({steps - x_spare, 1'b0}),
        .carried({1'b0, steps}), .advance(advance), .code(line_x), .carries(x_carries));
    line_axis #(.CODE_BITS(CODE_BITS)) walk_y (
        .clk(clk), .load(load_line), .first(y), .whole(y_whole), .spare({y_spare, 1'b0}), .room({steps - y_spare, 1'b0}),
        .carried({1'b0, steps}), .advance(advance), .code(line_y), .carries(y_carries));
    line_axis #(.CODE_BITS(1)) dwell (
        .clk(clk), .load(load_line), .first(1'b0), .whole(2'b00), .spare({1'b0, more}), .room({1'b0, points - more}),
        .carried(32'd0), .advance(advance), .code(each_bit), .carries(one_more));

    // ---- the next action ----
    reg  [2:0]  next_kind;       // NONE: empty
    reg         next_ends;       // it is the last
    reg         next_ends_block;
    reg  [CODE_BITS-1:0] next_x_code, next_y_code;
    reg  [31:0] next_ticks;
    reg         next_is_short;   // a tick at most
    reg         next_loaded;     // its position is with the converters
    reg         totals_were_right;
    // Records that take no time are complete when what follows them begins.
    reg  [LOG2_BLOCKS:0] passed_blocks;
    reg  [7:0]  passed_records;  // in the block after those
    reg         passed_marker;

    assign no_next = next_kind == NONE;
    wire [31:0] line_ticks = each + {31'd0, one_more};
    wire        from_line = no_next && line_runs;
    wire        line_ends = left == 1;
    assign take = no_next && !line_runs && staged;
    assign advance = from_line;
    wire        passes_point = from_line ? each_is_zero && !one_more : take && kind == DOT && value == 0;
    wire        passes = passes_point || take && kind == MARKER;
    wire        pass_ends = from_line ? line_ends : passes;
    wire        pass_ends_block = from_line ? line_ends_block : staged_ends_block;
    assign next_x = next_x_code ^ flip;
    assign next_y = next_y_code ^ flip;

    // ---- the action in progress ----
    reg  [2:0]  current;         // NONE: rest
    reg         current_ends;
    reg         current_ends_block;
    reg  [31:0] ticks_left;
    reg         is_last_tick;
    reg         edge_seen;

    assign is_exposing = current == DOT;
    assign is_resting = current == NONE;
    wire over = tick && (current == NONE || (current == TRIGGER && edge_seen) || is_last_tick);
    wire late = over && current == TRIGGER && !edge_seen;
    wire ready = !no_next && next_loaded && (loaded || next_kind != DOT && next_kind != JUMP);
    wire starts = over && !late && ready && is_open && !is_ending && !end_at_once;
    wire flush = over && !late && no_next && idle && !line_runs && is_open && !is_ending;
    assign update = starts && (next_kind == DOT || next_kind == JUMP);

    // ---- totals: a clock after the action that they count ----
    always @(posedge clk) begin
        counted <= take && kind != END || from_line;
        counted_record <= take;
        counted_point <= from_line || take && kind == DOT;
        counted_ticks <= from_line ? line_ticks : kind == DOT || kind == JUMP || kind == WAIT ? value : 32'd0;
        if (take && kind == LINE)
            counted_ticks <= 0;
        if (begins) begin
            total_records <= 0;
            total_points <= 0;
            total_ticks <= 0;
        end else if (counted) begin
            total_records <= total_records + {47'd0, counted_record};
            total_points <= total_points + {47'd0, counted_point};
            total_ticks <= total_ticks + {24'd0, counted_ticks};
        end
    end

    // ---- from records to the next action ----
    always @(posedge clk) begin
        load <= 0;
        next_loaded <= 1;
        next_is_short <= next_ticks[31:1] == 0;
        if (starts)
            next_kind <= NONE;
        if (load_line) begin
            line_runs <= 1;
            left <= points;
            each <= value;
            each_is_zero <= value == 0;
            line_ends_block <= staged_ends_block;
        end
        if (from_line) begin
            left <= left - 1;
            if (line_ends)
                line_runs <= 0;
        end
        if ((from_line || take && kind != LINE) && !passes) begin
            next_kind <= from_line ? DOT : kind;
            next_ends <= from_line ? line_ends : 1'b1;
            next_ends_block <= from_line ? line_ends && line_ends_block : staged_ends_block;
            next_x_code <= from_line ? line_x : x;
            next_y_code <= from_line ? line_y : y;
            next_ticks <= from_line ? line_ticks : value;
            totals_were_right <= totals_right;
            load <= from_line || kind == DOT || kind == JUMP;
            next_loaded <= 0;
        end
        if (clear || reset) begin
            next_kind <= NONE;
            line_runs <= 0;
            load <= 0;
        end
    end

    always @(posedge clk) begin
        if (starts || flush) begin
            passed_blocks <= 0;
            passed_records <= 0;
            passed_marker <= 0;
        end
        if (passes && pass_ends) begin
            passed_blocks <= passed_blocks + {{LOG2_BLOCKS{1'b0}}, pass_ends_block};
            passed_records <= pass_ends_block ? 8'd0 : passed_records + 8'd1;
            if (take && kind == MARKER) begin
                passed_marker <= 1;
                marker_number <= value;
            end
        end
        if (clear || reset) begin
            passed_blocks <= 0;
            passed_records <= 0;
            passed_marker <= 0;
        end
    end

    // ---- on each tick ----
    wire completes = over && !late && current != NONE && current_ends;
    wire ends_a_block = completes && current_ends_block;
    wire applies = starts || flush;
    wire is_end = starts && next_kind == END;
    wire [LOG2_BLOCKS:0] more_blocks = (applies ? passed_blocks : {LOG2_BLOCKS+1{1'b0}}) + {{LOG2_BLOCKS{1'b0}}, ends_a_block}
        + {{LOG2_BLOCKS{1'b0}}, is_end && totals_were_right};
    reg  [LOG2_BLOCKS:0] more_done; // both counters a clock later, so that they belong together
    reg  [7:0]  records;
    wire [7:0]  more_records = applies ? passed_records : 8'd0;
    wire [7:0]  records_before = ends_a_block || applies && passed_blocks != 0 ? 8'd0 : records;

    always @(posedge clk) begin
        stream_done <= 0;
        totals_bad <= 0;
        no_trigger <= late && is_open;
        marker <= 0;
        if (trigger_edge && current == TRIGGER)
            edge_seen <= 1;
        if (tick) begin
            ticks_left <= ticks_left - 1;
            is_last_tick <= ticks_left[31:2] == 0 && ticks_left[1:0] != 3;
        end
        if (completes)
            record_open <= 0;
        more_done <= more_blocks;
        done <= done + {{(31-LOG2_BLOCKS){1'b0}}, more_done};
        progressed <= more_blocks != 0;
        done_records <= records;
        records <= records_before + more_records + {7'd0, completes && !current_ends_block && !(applies && passed_blocks != 0)};
        if (over) begin
            // What follows decides anew, or nothing is ready.
            current <= NONE;
            beam_on <= 0;
        end
        if (applies) begin
            marker <= passed_marker;
            if (passed_blocks != 0 || passed_records != 0 || starts && next_kind != END)
                scan_on <= 1;
            record_open <= 0;
        end
        if (starts) begin
            if (is_end) begin
                stream_done <= totals_were_right;
                totals_bad <= !totals_were_right;
            end else begin
                current <= next_kind;
                current_ends <= next_ends;
                current_ends_block <= next_ends_block;
                ticks_left <= next_ticks;
                is_last_tick <= next_is_short;
                edge_seen <= 0;
                beam_on <= next_kind == DOT;
                record_open <= 1;
            end
        end
        if (clear || reset) begin
            current <= NONE;
            beam_on <= 0;
            scan_on <= 0;
        end
        if (begins || reset) begin
            done <= 0;
            more_done <= 0;
            records <= 0;
            done_records <= 0;
            record_open <= 0;
        end
        if (end_at_once)
            beam_on <= 0;
    end

    wire unused = &{1'b0, x_carries, y_carries, each_bit};
endmodule

`default_nettype wire
