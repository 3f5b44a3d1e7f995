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
    // A negative d is divided as -d - 1, whose bits are those of d inverted: its quotient's bits inverted are the quotient, and
    // n - 1 less its remainder is the remainder.
    reg                   is_negative;
    reg [CODE_BITS-1:0]   dividend;
    reg [4:0]             left;
    reg                   is_busy;

    wire [CODE_BITS:0]    d = {1'b0, to} - {1'b0, from};
    wire                  is_last = left == 0;
    wire [COUNT_BITS:0]   operand = is_last ? {1'b0, remainder} : {remainder, dividend[CODE_BITS-1]};
    wire [COUNT_BITS+1:0] difference = {1'b0, operand} - {2'b00, n};
    wire                  fits = !difference[COUNT_BITS+1];

    always @(posedge clk)
        if (start) begin
            is_negative <= d[CODE_BITS];
            dividend <= d[CODE_BITS-1:0] ^ {CODE_BITS{d[CODE_BITS]}};
            quotient <= {CODE_BITS+1{d[CODE_BITS]}};
            remainder <= 0;
            left <= CODE_BITS;
            is_busy <= 1;
            done <= 0;
        end else if (is_busy) begin
            left <= left - 1;
            dividend <= dividend << 1;
            if (!is_last) begin
                quotient <= {quotient[CODE_BITS-1:0], fits != is_negative};
                remainder <= fits ? difference[COUNT_BITS-1:0] : operand[COUNT_BITS-1:0];
            end else begin
                is_busy <= 0;
                done <= 1;
                if (is_negative)
                    remainder <= ~difference[COUNT_BITS-1:0];
            end
        end

    wire unused = &{1'b0, difference[COUNT_BITS]};
endmodule

`default_nettype wire
