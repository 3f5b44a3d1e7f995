namespace PatternCompiler.FrontEnds.Dxf.Tags;

/// <summary>Which form a group code's value has. Source: DXF Reference, table of group code value types.</summary>
internal static class DxfValueKinds
{
    /// <summary>Form by group code; null for a number that is no group code.</summary>
    public static DxfValueKind? Of(int code) => code switch
    {
        < -5 => null,
        <= 9 => DxfValueKind.Text,
        <= 59 => DxfValueKind.Real,
        <= 79 => DxfValueKind.Int16,
        >= 90 and <= 99 => DxfValueKind.Int32,
        100 or 101 or 102 or 105 => DxfValueKind.Text,
        >= 110 and <= 149 => DxfValueKind.Real,
        >= 160 and <= 169 => DxfValueKind.Int64,
        >= 170 and <= 179 => DxfValueKind.Int16,
        >= 210 and <= 239 => DxfValueKind.Real,
        >= 270 and <= 289 => DxfValueKind.Int16,
        >= 290 and <= 299 => DxfValueKind.Flag,
        >= 300 and <= 309 => DxfValueKind.Text,
        >= 310 and <= 319 => DxfValueKind.Bytes,
        >= 320 and <= 369 => DxfValueKind.Text,
        >= 370 and <= 389 => DxfValueKind.Int16,
        >= 390 and <= 399 => DxfValueKind.Text,
        >= 400 and <= 409 => DxfValueKind.Int16,
        >= 410 and <= 419 => DxfValueKind.Text,
        >= 420 and <= 429 => DxfValueKind.Int32,
        >= 430 and <= 439 => DxfValueKind.Text,
        >= 440 and <= 459 => DxfValueKind.Int32,
        >= 460 and <= 469 => DxfValueKind.Real,
        >= 470 and <= 481 => DxfValueKind.Text,
        999 => DxfValueKind.Text,
        1004 => DxfValueKind.Bytes,
        >= 1000 and <= 1009 => DxfValueKind.Text,
        >= 1010 and <= 1059 => DxfValueKind.Real,
        >= 1060 and <= 1070 => DxfValueKind.Int16,
        1071 => DxfValueKind.Int32,
        _ => null,
    };
}
