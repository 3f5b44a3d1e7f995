// Whether the words of a payload are whole records, all of them sound, as many as stated: a word a clock at most.
`default_nettype none

module record_check (
    input  wire        clk,
    input  wire        start,          // before the payload
    input  wire [31:0] word,
    input  wire        word_whole,     // pulse: the word is there
    input  wire [2:0]  word_bytes,
    input  wire [4:0]  bits,
    input  wire [31:0] shortest_ticks,
    input  wire        takes_lines,
    input  wire        takes_triggers,
    input  wire [7:0]  stated,
    output wire        is_sound
);
    localparam [2:0] JUMP = 1, DOT = 2, LINE = 3, TRIGGER = 6;

    reg        is_bad;
    reg [7:0]  records;
    reg [3:0]  index;      // of the word within its record
    reg [2:0]  kind;
    reg [31:0] low;
    reg [31:0] points;
    reg        q_is_largest;

    wire [31:0] pair = word_bytes == 2 ? {word[15:0], low[15:0]} : word_bytes == 3 ? {word[7:0], low[23:0]} : low;
    wire        pair_bad = word_bytes == 3 ? word[23:8] != 0 : word_bytes == 4 && word != 0;
    wire        code_bad = (word >> bits) != 0;
    wire        is_point = kind == JUMP || kind == DOT;
    wire        is_line = kind == LINE;
    wire [3:0]  last = is_point ? 4'd4 : is_line ? 4'd10 : 4'd2;
    wire        too_short = pair < shortest_ticks;
    wire        kind_bad = word > 6 || word == 0 || (word == {29'd0, LINE} && !takes_lines) || (word == {29'd0, TRIGGER} && !takes_triggers);

    assign is_sound = !is_bad && index == 0 && records == stated;

    always @(posedge clk)
        if (start) begin
            is_bad <= 0;
            records <= 0;
            index <= 0;
        end else if (word_whole) begin
            low <= word;
            index <= index + 1;
            if (index == 0) begin
                kind <= word[2:0];
                if (kind_bad) is_bad <= 1;
            end else begin
                if ((is_point && index <= 2 || is_line && index <= 4) && code_bad) is_bad <= 1;
                if ((index == last || is_line && (index == 6 || index == 8)) && pair_bad) is_bad <= 1;
                if (index == last) begin
                    index <= 0;
                    records <= records + 1;
                    if (records == 255) is_bad <= 1;
                end
                if (kind == DOT && index == 4 && too_short) is_bad <= 1;
                if (kind == TRIGGER && index == 2 && pair == 0) is_bad <= 1;
                if (is_line && index == 6) begin
                    points <= pair;
                    if (pair == 0 || pair[31]) is_bad <= 1;
                end
                if (is_line && index == 8) begin
                    q_is_largest <= pair == 32'hFFFFFFFF;
                    if (too_short) is_bad <= 1;
                end
                if (is_line && index == 10 && (pair >= points || pair != 0 && q_is_largest)) is_bad <= 1;
            end
        end
endmodule

`default_nettype wire
