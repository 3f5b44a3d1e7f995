// Division and adders of a line against the formulas of the stream's page, for all lines of small codes: point i of n stands at
// x + floor((2 i (end - x) + (n - 1)) / (2 (n - 1))) and lasts a tick more where floor((i + 1) r / n) - floor(i r / n) is 1.
module line_check (
    input clk
);
    parameter CODE_BITS = 3;
    parameter COUNT_BITS = 3;

    // Any line: these never change.
    reg [CODE_BITS-1:0]  from, to;
    reg [COUNT_BITS-1:0] steps, more;

    reg [3:0]          time_done = 0;
    reg                walks = 0;
    reg [COUNT_BITS:0] i;

    wire                  done, carries, one_more, bit_of_dwell;
    wire [CODE_BITS:0]    quotient;
    wire [COUNT_BITS-1:0] remainder;
    wire [CODE_BITS-1:0]  code;
    wire                  start = time_done == 0;
    wire                  load = done && !walks && !start;
    wire [COUNT_BITS:0]   points = {1'b0, steps} + 1'b1;

    line_divide #(.CODE_BITS(CODE_BITS), .COUNT_BITS(COUNT_BITS)) divide (
        .clk(clk), .start(start), .from(from), .to(to), .n(steps), .done(done), .quotient(quotient), .remainder(remainder));
    line_axis #(.CODE_BITS(CODE_BITS), .SUM_BITS(COUNT_BITS + 1)) axis (
        .clk(clk), .load(load), .first(from), .whole(quotient), .spare({remainder, 1'b0}), .room({steps - remainder, 1'b0}),
`ifdef PLANTED
        .carried({1'b0, steps} - 1'b1),
`else
        .carried({1'b0, steps}),
`endif
        .advance(walks), .code(code), .carries(carries));
    line_axis #(.CODE_BITS(1), .SUM_BITS(COUNT_BITS + 1)) dwell (
        .clk(clk), .load(load), .first(1'b0), .whole(2'b00), .spare({1'b0, more}), .room(points - more), .carried({COUNT_BITS+1{1'b0}}),
        .advance(walks), .code(bit_of_dwell), .carries(one_more));

    // A floor without a division: f = floor(a / b) where f b <= a < (f + 1) b. Shifted by 2^CODE_BITS whole codes, so that nothing is
    // negative.
    localparam WIDE = CODE_BITS + COUNT_BITS + 4;
    reg  [COUNT_BITS:0] extra;   // ticks more, of the points before this one
    wire [WIDE-1:0] shift = 1 << CODE_BITS;
    wire [WIDE-1:0] wide_i = i, wide_more = more, wide_points = points, wide_extra = extra, divisor = 2 * steps;
    wire [WIDE-1:0] above = wide_i * (2 * to) + steps + divisor * shift - wide_i * (2 * from);
    wire [WIDE-1:0] place = code + shift - from;

    always @(posedge clk) begin
        from <= from;
        to <= to;
        steps <= steps;
        more <= more;
        time_done <= 1;
        if (load) begin
            walks <= 1;
            i <= 0;
            extra <= 0;
        end else if (walks) begin
            i <= i + 1;
            extra <= extra + one_more;
        end
    end

    always @* begin
        assume (steps != 0);
        assume (more <= steps);
        if (walks && i <= steps)
            assert (place * divisor <= above && above < place * divisor + divisor);
        if (walks && i <= points)
            assert (wide_extra * wide_points <= wide_i * wide_more && wide_i * wide_more < wide_extra * wide_points + wide_points);
    end
endmodule
