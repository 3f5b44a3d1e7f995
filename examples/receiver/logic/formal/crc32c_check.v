// The byte-wide CRC against the plain model of RFC 3720: a shift register of polynomial 1EDC6F41, most significant bit first, that
// takes each byte's bits from the least significant on; its bits in reverse are those of the reflected register.
module crc32c_check (
    input [31:0] crc,
    input [7:0]  data
);
`ifdef PLANTED
    localparam [31:0] POLYNOMIAL = 32'h1EDC6F43;
`else
    localparam [31:0] POLYNOMIAL = 32'h1EDC6F41;
`endif

    wire [31:0] next;
    crc32c checked (.crc(crc), .data(data), .next(next));

    reg [31:0] plain;
    integer i;
    always @* begin
        for (i = 0; i < 32; i = i + 1)
            plain[i] = crc[31 - i];
        for (i = 0; i < 8; i = i + 1)
            if (plain[31] != data[i])
                plain = {plain[30:0], 1'b0} ^ POLYNOMIAL;
            else
                plain = {plain[30:0], 1'b0};
        for (i = 0; i < 32; i = i + 1)
            assert (next[i] == plain[31 - i]);
    end
endmodule
