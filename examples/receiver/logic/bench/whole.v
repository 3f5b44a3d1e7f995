// A whole board between its pins: bytes come over the serial line, messages go back over it. Run it with +stream=FILE, bytes in hexadecimal
// digits, +bytes=COUNT, and where wanted +open=CLOCK (the interlock opens), +reset=CLOCK (reset is pulled). Lines: "byte HH" for each byte that
// the board says, "at CLOCK X Y BLANK SCAN" for each change, "alive COUNT" at the end.
`default_nettype none

module whole;
    localparam CLOCKS_PER_BIT = 8, CLOCKS_PER_TICK = 4, CLOCKS_PER_MILLISECOND = 4000, MOST_BYTES = 8192, GREETING_CLOCKS = 3000, REST_CLOCKS = 20000;

    reg          clk, reset_n, serial_in, interlock;
    reg  [7:0]   bytes [0:MOST_BYTES - 1];
    reg  [8*256-1:0] name;
    integer      count, open, pull, clocks, quiet, at, bit_at, lives;
    wire         serial_out, blank, scan_enable, alive;
    wire [15:0]  x, y;

    board #(
        .BITS(16), .CODING(2'd1), .BLANK_LEVEL(2'd1), .CLOCKS_PER_TICK(CLOCKS_PER_TICK), .CLOCKS_PER_MILLISECOND(CLOCKS_PER_MILLISECOND),
        .CLOCKS_PER_BIT(CLOCKS_PER_BIT), .TIMEOUT_MILLISECONDS(3), .LOG2_BLOCKS(3)) dut (
        .clk(clk), .reset_n(reset_n), .serial_in(serial_in), .serial_out(serial_out), .interlock(interlock), .trigger(1'b0), .blank(blank),
        .scan_enable(scan_enable), .marker(), .alive(alive), .x(x), .y(y), .write(), .select_n(), .spi_clock(), .data_x(), .data_y(), .latch_n());

    // A receiver of its own: the middle of each bit, counted from the fall of the start bit.
    integer     left, bits;
    reg         before;
    reg  [7:0]  heard;
    task hear;
        begin
            if (bits == 0) begin
                if (before && !serial_out) begin
                    bits = 9;
                    left = CLOCKS_PER_BIT + CLOCKS_PER_BIT / 2 - 1;
                end
            end else if (left != 0)
                left = left - 1;
            else begin
                left = CLOCKS_PER_BIT - 1;
                bits = bits - 1;
                if (bits == 0) begin
                    if (!serial_out)
                        $display("no stop bit");
                    $display("byte %02h", heard);
                end else
                    heard = {serial_out, heard[7:1]};
            end
            before = serial_out;
        end
    endtask

    reg [33:0] seen;
    reg        seen_alive;
    initial begin
        if (!$value$plusargs("stream=%s", name) || !$value$plusargs("bytes=%d", count)) begin
            $display("+stream=FILE +bytes=COUNT");
            $finish;
        end
        if (!$value$plusargs("open=%d", open))
            open = -1;
        if (!$value$plusargs("reset=%d", pull))
            pull = -1;
        $readmemh(name, bytes, 0, count - 1);
        {clk, reset_n} = 0;
        {serial_in, interlock, before} = 3'b111;
        {clocks, quiet, at, bit_at, lives, bits, left} = 0;
        seen = 34'h200000000;
        seen_alive = 0;
        while (quiet < REST_CLOCKS) begin
            if (clocks == 8)
                reset_n = 1;
            if (clocks == open)
                interlock = 0;
            if (clocks == pull)
                reset_n = 0;
            if (clocks == pull + 40)
                reset_n = 1;
            if (clocks >= GREETING_CLOCKS && at < count && (clocks - GREETING_CLOCKS) % CLOCKS_PER_BIT == 0) begin
                serial_in = bit_at == 0 ? 1'b0 : bit_at == 9 ? 1'b1 : bytes[at][bit_at - 1];
                bit_at = bit_at == 9 ? 0 : bit_at + 1;
                if (bit_at == 0)
                    at = at + 1;
            end
            #1 clk = 1;
            #1 clk = 0;
            clocks = clocks + 1;
            quiet = at == count ? quiet + 1 : 0;
            hear;
            if (seen !== {blank, scan_enable, x, y}) begin
                $display("at %0d %0d %0d %0d %0d", clocks, x, y, blank, scan_enable);
                quiet = 0;
            end
            seen = {blank, scan_enable, x, y};
            if (alive !== seen_alive)
                lives = lives + 1;
            seen_alive = alive;
        end
        $display("alive %0d of %0d milliseconds", lives, clocks / CLOCKS_PER_MILLISECOND);
        $finish;
    end
endmodule

`default_nettype wire
