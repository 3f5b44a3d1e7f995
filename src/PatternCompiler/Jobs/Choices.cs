using PatternCompiler.FrontEnds.Common;
using PatternCompiler.Geometry.Offset;
using PatternCompiler.Instrument;
using PatternCompiler.Passes.Fields;
using PatternCompiler.Passes.Fill;
using PatternCompiler.Passes.Fracture;
using PatternCompiler.Passes.Order;
using PatternCompiler.Passes.Proximity;
using PatternCompiler.Passes.Relief;
using PatternCompiler.Units;

namespace PatternCompiler.Jobs;

/// <summary>Every choice of words in machine, process and job files. Options that replace a setting, reports and questions take them from here.</summary>
internal static class Choices
{
    public static Choice<PatternPosition> Position { get; } = new(("as drawn", PatternPosition.AsDrawn), ("centred", PatternPosition.Centred));

    public static Choice<OpenOutlines> OpenOutlines { get; } = new(("lines", FrontEnds.Common.OpenOutlines.AsLines), ("error", FrontEnds.Common.OpenOutlines.AsError));

    public static Choice<NestedOutlines> NestedOutlines { get; } = new(("filled", FrontEnds.Common.NestedOutlines.Filled), ("holes", FrontEnds.Common.NestedOutlines.Holes));

    public static Choice<bool> TextAsStrokes { get; } = new(("strokes", true), ("ignored", false));

    public static Choice<SvgLayerNaming> SvgLayers { get; } = new(("group", SvgLayerNaming.ByGroup), ("colour", SvgLayerNaming.ByColour));

    public static Choice<bool> ImageExposesLight { get; } = new(("dark", false), ("light", true));

    public static Choice<OffsetJoin> Corners { get; } = new(("mitred", OffsetJoin.Mitre), ("round", OffsetJoin.Round), ("square", OffsetJoin.Square));

    public static Choice<FractureDirection> FractureDirection { get; } = new(
        ("horizontal", Passes.Fracture.FractureDirection.Horizontal),
        ("vertical", Passes.Fracture.FractureDirection.Vertical),
        ("automatic", Passes.Fracture.FractureDirection.Automatic));

    public static Choice<DoseOverlapRule> DoseOverlap { get; } = new(
        ("highest", DoseOverlapRule.Highest), ("lowest", DoseOverlapRule.Lowest), ("first", DoseOverlapRule.First), ("sum", DoseOverlapRule.Sum));

    public static Choice<LayerRelief?> Values { get; } = new(
        ("dose factors", null), ("heights", new LayerRelief(ReliefValues.Heights)), ("depths", new LayerRelief(ReliefValues.Depths)));

    public static Choice<ProximityTarget> CorrectionTarget { get; } = new(("edge", ProximityTarget.Edge), ("average", ProximityTarget.Average));

    public static Choice<FillStrategy> Strategy { get; } = new([.. FillStrategy.All.Select(strategy => (strategy.Word, strategy))]);

    public static Choice<FillDirection> LineDirection { get; } = new(("x", FillDirection.X), ("y", FillDirection.Y), ("long side", FillDirection.LongSide));

    public static Choice<DwellWord> DwellWord { get; } = new(
        ("P seconds", Instrument.DwellWord.SecondsP), ("P milliseconds", Instrument.DwellWord.MillisecondsP), ("S seconds", Instrument.DwellWord.SecondsS));

    public static Choice<CodePlacement> Placement { get; } = new(
        ("automatic", CodePlacement.Automatic), ("rounded", CodePlacement.Rounded), ("weighted", CodePlacement.Weighted), ("centre", CodePlacement.Centre));

    public static Choice<TriggerUnit> Trigger { get; } = new(
        ("none", TriggerUnit.None), ("pass", TriggerUnit.Pass), ("figure", TriggerUnit.Figure), ("row", TriggerUnit.Row), ("line", TriggerUnit.Line));

    public static Choice<bool> SpreadsPasses { get; } = new(("same", false), ("spread", true));

    public static Choice<WritingOrder> Order { get; } = new(
        ("short travel", WritingOrder.ShortTravel), ("as given", WritingOrder.AsGiven), ("x", WritingOrder.AlongX), ("y", WritingOrder.AlongY), ("spread", WritingOrder.Spread));

    public static Choice<DoseOrder> DoseOrder { get; } = new(
        ("mixed", Passes.Order.DoseOrder.Mixed), ("lowest first", Passes.Order.DoseOrder.LowestFirst), ("highest first", Passes.Order.DoseOrder.HighestFirst));

    public static Choice<bool> HidesTravel { get; } = new(("straight", false), ("hidden", true));

    public static Choice<SeamKind> Seam { get; } = new(("edge to edge", SeamKind.Butt), ("overlap", SeamKind.Overlap), ("taper", SeamKind.Taper));

    public static Choice<StageOrder> StageOrder { get; } = new(
        ("serpentine", Passes.Fields.StageOrder.Serpentine), ("rows", Passes.Fields.StageOrder.Rows), ("shortest", Passes.Fields.StageOrder.Shortest),
        ("spread", Passes.Fields.StageOrder.Spread));

    public static Choice<bool> MarksAreFirst { get; } = new(("first", true), ("last", false));

    public static Choice<MarkShape> MarkShape { get; } = new(("cross", Passes.Fields.MarkShape.Cross), ("square", Passes.Fields.MarkShape.Square));

    public static Choice<DacCoding> Coding { get; } = new(
        ("straight", DacCoding.Straight), ("offset binary", DacCoding.OffsetBinary), ("two's complement", DacCoding.TwosComplement));

    public static Choice<DacFullScale> FullScale { get; } = new(
        ("one beyond last code", DacFullScale.OneBeyondLastCode), ("last code", DacFullScale.LastCode));

    public static Choice<bool> ActiveHigh { get; } = new(("high", true), ("low", false));

    public static Choice<bool> MostSignificantByteFirst { get; } = new(("least significant first", false), ("most significant first", true));

    public static Choice<bool> LeastSignificantBitFirst { get; } = new(("most significant first", false), ("least significant first", true));

    public static Choice<ResistTone> Tone { get; } = new((ToneWords.Of(ResistTone.Positive).Tone, ResistTone.Positive), (ToneWords.Of(ResistTone.Negative).Tone, ResistTone.Negative));

    public static Choice<Substrate> Substrate { get; } = new([.. Instrument.Substrate.Known.Select(known => (known.Name, known))]);
}
