// Receiver of exposure streams, version 1, for programmable logic: bytes in, converters and lines out, status messages back.
// Its settings are inputs, so that one simulation serves every board; a board ties them to constants. All inputs belong to
// the clock. The form of the stream: src/PatternCompiler/BackEnds/ExposureStream/README.md.
`default_nettype none

module exposure_receiver #(
    parameter LOG2_BLOCKS = 2,              // blocks held, as a power of two: 1 to 6; each takes 256 words of 32 bits
    parameter CODE_BITS = 24                // bits of the largest converter that the settings may name
) (
    input  wire        clk,
    input  wire        reset,
    // settings
    input  wire [4:0]  bits,                // of both converters, 8 to 24
    input  wire [1:0]  coding,              // 0 straight, 1 offset binary, 2 two's complement
    input  wire [1:0]  blank_level,         // of the blank line with the beam off: 1 high, 2 low, 3 no blanker
    input  wire        scan_is_low,         // level of scan-enable while a stream is written
    input  wire [31:0] shortest_ticks,      // shortest point that the board can do; at least 8 clocks, or a converter's word
    input  wire        checks_digest,
    input  wire [63:0] digest,              // first byte in bits 7 to 0
    input  wire [15:0] timeout_milliseconds,// patience with a link that brings nothing, 1000 or more; 0: for ever
    input  wire [7:0]  tick_patience,       // milliseconds without a tick that are a fault; 0: nobody looks
    // time
    input  wire        tick,                // pulse; may stay high where a tick is a clock
    input  wire        millisecond,         // pulse
    // link
    input  wire [7:0]  in_byte,
    input  wire        in_valid,
    output wire        in_ready,
    input  wire        in_overrun,          // pulse: bytes were lost for want of room
    output wire [7:0]  out_byte,
    output wire        out_valid,
    input  wire        out_ready,
    // machine
    input  wire        interlock_closed,
    input  wire        trigger_edge,        // pulse: the active edge
    output wire        load,                // converters: a next position is there
    output wire [CODE_BITS-1:0] next_x,
    output wire [CODE_BITS-1:0] next_y,
    input  wire        loaded,
    output wire        update,              // pulse: the next position becomes the position
    output wire        blank,
    output wire        scan_enable,
    output wire        marker,
    output wire [31:0] marker_number,
    output reg         alive                // changes every millisecond while clocks and ticks come
);
    localparam [3:0] STARVED = 6, BAD_TOTALS = 7, MACHINE_FAULT = 8, NO_TRIGGER = 9;

    // ---- link's side ----
    wire        accepted, refused, ends, ends_with_stop, write, block_checked;
    wire [3:0]  link_fault;
    wire [2:0]  word_bytes;
    wire [31:0] come, write_data;
    wire [LOG2_BLOCKS+7:0] write_address;
    wire [LOG2_BLOCKS-1:0] block_room;
    wire [7:0]  block_records;
    wire [31:0] done;
    reg         is_open;
    reg         is_ending;

    link_reader #(.LOG2_BLOCKS(LOG2_BLOCKS)) reader (
        .clk(clk), .reset(reset), .bits(bits), .coding(coding), .blank_level(blank_level), .shortest_ticks(shortest_ticks),
        .checks_digest(checks_digest), .digest(digest), .in_byte(in_byte), .in_valid(in_valid), .in_ready(in_ready),
        .interlock_closed(interlock_closed), .is_open(is_open), .is_ending(is_ending), .done(done[LOG2_BLOCKS:0]), .accepted(accepted),
        .refused(refused), .ends(ends), .ends_with_stop(ends_with_stop), .fault(link_fault), .word_bytes(word_bytes), .come(come),
        .write(write), .write_address(write_address), .write_data(write_data), .block_checked(block_checked),
        .block_room(block_room), .block_records(block_records));

    // ---- rooms ----
    reg  [31:0] words [0:(256 << LOG2_BLOCKS) - 1];
    reg  [31:0] read_data;
    wire [LOG2_BLOCKS+7:0] read_address;
    always @(posedge clk) begin
        if (write)
            words[write_address] <= write_data;
        read_data <= words[read_address];
    end

    reg  [7:0]  records_of [0:(1 << LOG2_BLOCKS) - 1];
    wire [LOG2_BLOCKS-1:0] room;
    wire [7:0]  room_records = records_of[room];
    always @(posedge clk)
        if (block_checked)
            records_of[block_room] <= block_records;

    // ---- writing side ----
    wire [7:0]  done_records;
    wire        progressed, record_open, is_exposing, is_resting, stream_done, totals_bad, no_trigger, beam_on, scan_on;
    wire        machine_fault;
    wire [CODE_BITS-1:0] flip = coding == 2 ? {{CODE_BITS-1{1'b0}}, 1'b1} << (bits - 5'd1) : {CODE_BITS{1'b0}};

    record_player #(.LOG2_BLOCKS(LOG2_BLOCKS), .CODE_BITS(CODE_BITS)) player (
        .clk(clk), .reset(reset), .begins(accepted || refused), .is_open(is_open), .tick(tick), .is_ending(is_ending),
        .end_at_once(machine_fault), .trigger_edge(trigger_edge), .word_bytes(word_bytes), .flip(flip), .come(come[LOG2_BLOCKS:0]),
        .read_address(read_address), .read_data(read_data), .room(room), .room_records(room_records), .done(done),
        .done_records(done_records), .progressed(progressed), .record_open(record_open), .is_exposing(is_exposing), .is_resting(is_resting),
        .stream_done(stream_done), .totals_bad(totals_bad), .no_trigger(no_trigger), .load(load), .next_x(next_x),
        .next_y(next_y), .loaded(loaded), .update(update), .beam_on(beam_on), .scan_on(scan_on), .marker(marker),
        .marker_number(marker_number));

    // ---- lines: the beam is on only if every reason says so, an open interlock without waiting for a clock ----
    assign blank = (beam_on && interlock_closed && !reset) == (blank_level == 2);
    assign scan_enable = scan_on != scan_is_low;

    // ---- ends ----
    reg  [7:0]  kind;
    reg  [3:0]  fault;
    reg         is_cut;
    reg         end_is_stop;
    reg  [3:0]  end_fault;
    reg         news;
    reg  [15:0] starved;
    reg  [7:0]  since_tick;
    reg         ticks_are_gone;
    wire        is_starved = is_open && is_resting && come[LOG2_BLOCKS:0] == done[LOG2_BLOCKS:0];
    wire        has_starved = timeout_milliseconds != 0 && starved == timeout_milliseconds;

    wire unused = &{1'b0, come[31:LOG2_BLOCKS+1]};
    assign machine_fault = is_open && (!interlock_closed || in_overrun || ticks_are_gone);

    always @(posedge clk) begin
        news <= 0;
        if (accepted) begin
            is_open <= 1;
            is_ending <= 0;
            kind <= "C";
            fault <= 0;
            is_cut <= 0;
            news <= 1;
        end
        if (refused) begin
            kind <= "F";
            fault <= link_fault;
            is_cut <= 0;
            news <= 1;
        end
        if (is_open && ends && !is_ending) begin
            is_ending <= 1;
            end_is_stop <= ends_with_stop;
            end_fault <= link_fault;
        end else if (is_starved && has_starved && !is_ending) begin
            is_ending <= 1;
            end_is_stop <= 0;
            end_fault <= STARVED;
        end
        if (is_open) begin
            if (machine_fault)
                conclude("F", MACHINE_FAULT);
            else if (stream_done)
                conclude("D", 4'd0);
            else if (totals_bad)
                conclude("F", BAD_TOTALS);
            else if (no_trigger)
                conclude("F", NO_TRIGGER);
            else if (is_ending && !is_exposing)
                conclude(end_is_stop ? "S" : "F", end_fault);
            else if (progressed)
                news <= 1;
        end
        if (reset) begin
            is_open <= 0;
            is_ending <= 0;
            kind <= "I";
            fault <= 0;
            is_cut <= 0;
            news <= 0;
        end
    end

    task conclude;
        input [7:0] with_kind;
        input [3:0] with_fault;
        begin
            is_open <= 0;
            is_ending <= 0;
            kind <= with_kind;
            fault <= with_fault;
            is_cut <= record_open;
            news <= 1;
        end
    endtask

    // ---- patience ----
    always @(posedge clk) begin
        if (!is_starved || in_valid && in_ready)
            starved <= 0;
        else if (millisecond && !has_starved)
            starved <= starved + 1;
        if (tick)
            since_tick <= 0;
        else if (millisecond && tick_patience != 0)
            since_tick <= since_tick + 1;
        if (tick_patience != 0 && since_tick == tick_patience)
            ticks_are_gone <= 1;
        if (millisecond && !ticks_are_gone)
            alive <= !alive;
        if (reset) begin
            since_tick <= 0;
            ticks_are_gone <= 0;
            alive <= 0;
        end
    end

    status_sender sender (
        .clk(clk), .reset(reset), .millisecond(millisecond), .news(news), .kind(kind), .fault(fault), .is_cut(is_cut),
        .credit(done + (32'd1 << LOG2_BLOCKS)), .blocks(done), .records({8'd0, done_records}), .out_byte(out_byte),
        .out_valid(out_valid), .out_ready(out_ready));
endmodule

`default_nettype wire
