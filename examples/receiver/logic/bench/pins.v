// The receiver with parallel converters, as the benches see it: inputs that a script drives, pins, and whether everything that is
// under way inside has come to its end. The last is for the benches' speed alone.
`default_nettype none

module pins (
    input  wire        clk,
    input  wire        reset,
    input  wire        clear,           // positions too
    input  wire [17:0] settings,        // bits + 256 * coding + 65536 * blank level
    input  wire [31:0] shortest_ticks,
    input  wire        tick,
    input  wire        millisecond,
    input  wire [7:0]  in_byte,
    input  wire        in_valid,
    output wire        in_ready,
    input  wire        in_overrun,
    output wire [7:0]  out_byte,
    output wire        out_valid,
    input  wire        interlock_closed,
    input  wire        trigger_edge,
    output wire [23:0] x,
    output wire [23:0] y,
    output wire        blank,
    output wire        scan_enable,
    output wire        marker,
    output wire [31:0] marker_number,
    output wire        alive,
    output wire        write,
    output wire        is_quiet
);
    wire        load, loaded, update;
    wire [23:0] next_x, next_y;

    exposure_receiver #(.LOG2_BLOCKS(2)) core (
        .clk(clk), .reset(reset), .bits(settings[4:0]), .coding(settings[9:8]), .blank_level(settings[17:16]), .scan_is_low(1'b0),
        .shortest_ticks(shortest_ticks), .checks_digest(1'b0), .digest(64'd0), .timeout_milliseconds(16'd300), .tick_patience(8'd0),
        .tick(tick), .millisecond(millisecond), .in_byte(in_byte), .in_valid(in_valid), .in_ready(in_ready), .in_overrun(in_overrun),
        .out_byte(out_byte), .out_valid(out_valid), .out_ready(1'b1), .interlock_closed(interlock_closed),
        .trigger_edge(trigger_edge), .load(load), .next_x(next_x), .next_y(next_y), .loaded(loaded), .update(update),
        .blank(blank), .scan_enable(scan_enable), .marker(marker), .marker_number(marker_number), .alive(alive));

    parallel_converters converters (
        .clk(clk), .reset(clear), .next_x(next_x), .next_y(next_y), .update(update), .loaded(loaded), .x(x), .y(y), .write(write));

    wire reader_rests = !core.reader.judge && !core.accepted && !core.refused && !core.ends && !core.block_checked;
    wire player_rests = !core.is_open || (!core.player.no_next && core.player.next_loaded)
        || (core.player.no_next && core.player.idle && !core.player.line_runs);
    wire ends_rest = !core.stream_done && !core.totals_bad && !core.no_trigger && !core.machine_fault
        && !(core.is_ending && !core.is_exposing) && !(core.is_starved && core.has_starved);
    assign is_quiet = reader_rests && player_rests && ends_rest && !core.news && !core.progressed && !core.sender.is_wanted && !out_valid
        && core.sender.quiet != 250 && !load && !marker;
    wire unused = &{1'b0, load, settings};
endmodule

`default_nettype wire
