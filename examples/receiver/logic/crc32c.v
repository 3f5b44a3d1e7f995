// CRC-32C (RFC 3720) over one more byte, all eight bits at once. Start with all ones; a sound block with its CRC ends in B798B438.
`default_nettype none

module crc32c (
    input  wire [31:0] crc,
    input  wire [7:0]  data,
    output wire [31:0] next
);
    localparam [31:0] POLYNOMIAL = 32'h82F63B78; // 1EDC6F41, reflected

    function [31:0] over;
        input [31:0] sum;
        input [7:0]  value;
        integer i;
        begin
            over = sum ^ {24'd0, value};
            for (i = 0; i < 8; i = i + 1)
                over = over[0] ? {1'b0, over[31:1]} ^ POLYNOMIAL : {1'b0, over[31:1]};
        end
    endfunction

    assign next = over(crc, data);
endmodule

`default_nettype wire
