using PatternCompiler.Instrument;

namespace PatternCompiler.BackEnds.Motion;

/// <summary>
/// How a motion program states the level of the blank line: in a message that the controller shows its operator (comments
/// that begin with MSG; NISTIR 6556, from memory). M5 turns the beam off at either level, since the end of the program acts as
/// M5 (M2 stops the spindle), and so by common practice do an abort and a reset; which level the output has then is set at
/// the controller.
/// </summary>
internal static class MotionLevel
{
    /// <summary>How such a message starts.</summary>
    public const string Start = "(MSG, ";

    private static readonly string?[] Messages =
    [
        null,
        "(MSG, M5 turns the beam off: the blank line must then be high)",
        "(MSG, M5 turns the beam off: the blank line must then be low)",
        "(MSG, M5 cannot turn the beam off: there is no blanker)",
    ];

    /// <summary>The message for a level, or null where it is not stated.</summary>
    public static string? MessageOf(BlankLevel level) => Messages[(int)level];

    /// <summary>The level of a message; false if it is none of these.</summary>
    public static bool TryLevel(string message, out BlankLevel level)
    {
        int index = Array.IndexOf(Messages, message);
        level = (BlankLevel)index;
        return index > 0;
    }
}
