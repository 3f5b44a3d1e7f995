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

    /// <summary>The message for a level, or null where it is not stated.</summary>
    /// <param name="level">The level with the beam off.</param>
    /// <param name="beamOff">The word that turns the beam off.</param>
    public static string? MessageOf(BlankLevel level, string beamOff) => level switch
    {
        BlankLevel.High => $"{Start}{beamOff} turns the beam off: the blank line must then be high)",
        BlankLevel.Low => $"{Start}{beamOff} turns the beam off: the blank line must then be low)",
        BlankLevel.NoBlanker => $"{Start}{beamOff} cannot turn the beam off: there is no blanker)",
        _ => null,
    };

    /// <summary>The level of a message; false if it is none of these.</summary>
    public static bool TryLevel(string message, string beamOff, out BlankLevel level)
    {
        for (level = BlankLevel.High; level <= BlankLevel.NoBlanker; level++)
        {
            if (message == MessageOf(level, beamOff))
            {
                return true;
            }
        }

        return false;
    }
}
