// What a line needs before its first point: d / n by restoring division, one bit a clock, with the quotient rounded down and the
// remainder from 0 to n - 1. Takes 26 clocks after start.
`default_nettype none

module line_divide #(
    parameter CODE_BITS = 24,
    parameter COUNT_BITS = 31
) (
    input  wire                   clk,
    input  wire                   start,
    input  wire [CODE_BITS-1:0]   from,      // natural codes
    input  wire [CODE_BITS-1:0]   to,
    input  wire [COUNT_BITS-1:0]  n,         // 1 at least
    output reg                    done,      // from the clock after the last until start
    output reg  [CODE_BITS:0]     quotient,  // two's complement
    output reg  [COUNT_BITS-1:0]  remainder
);
    reg                   is_negative;
    reg [CODE_BITS-1:0]   dividend;
    reg [4:0]             left;
    reg                   is_busy;

    wire [COUNT_BITS:0]   shifted = {remainder, dividend[CODE_BITS-1]};
    wire                  fits = shifted >= {1'b0, n};
    wire [COUNT_BITS-1:0] reduced = shifted[COUNT_BITS-1:0] - (fits ? n : {COUNT_BITS{1'b0}}); // below n

    always @(posedge clk)
        if (start) begin
            is_negative <= to < from;
            dividend <= to < from ? from - to : to - from;
            quotient <= 0;
            remainder <= 0;
            left <= CODE_BITS;
            is_busy <= 1;
            done <= 0;
        end else if (is_busy) begin
            if (left != 0) begin
                remainder <= reduced;
                quotient <= {quotient[CODE_BITS-1:0], fits};
                dividend <= dividend << 1;
                left <= left - 1;
            end else begin
                is_busy <= 0;
                done <= 1;
                if (is_negative) begin
                    quotient <= remainder == 0 ? -quotient : ~quotient;
                    remainder <= remainder == 0 ? remainder : n - remainder;
                end
            end
        end
endmodule

`default_nettype wire
