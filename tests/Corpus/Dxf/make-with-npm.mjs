// Writes the drawings whose names start with "dxf-writer-" and "tarikjabiri-", with the general-purpose npm libraries
// dxf-writer 1.18.4 and @tarikjabiri/dxf 2.9.0. Run in a folder where both are installed: node make-with-npm.mjs
import { writeFileSync } from "node:fs";
import Drawing from "dxf-writer";
import { DxfWriter, LWPolylineFlags, Units, point3d, point2d } from "@tarikjabiri/dxf";

// dxf-writer: unit mm; rounded rectangle from bulges, track with width, loose lines, circle, point
{
    const d = new Drawing();
    d.setUnits("Millimeters");
    d.addLayer("metal", Drawing.ACI.RED, "CONTINUOUS");
    d.setActiveLayer("metal");
    const q = Math.SQRT2 - 1;
    // 0.1 x 0.06 rectangle with corners rounded by 0.01
    d.drawPolyline([[0.01, 0], [0.09, 0, q], [0.1, 0.01], [0.1, 0.05, q], [0.09, 0.06], [0.01, 0.06, q], [0, 0.05], [0, 0.01, q]], true);
    d.drawCircle(0.2, 0.03, 0.02);
    d.drawPolyline([[0.3, 0], [0.34, 0], [0.34, 0.03]], false, 0.004, 0.004);
    d.addLayer("outline", Drawing.ACI.GREEN, "CONTINUOUS");
    d.setActiveLayer("outline");
    // triangle of loose lines with thirds, which no decimal holds exactly
    d.drawLine(0.4, 0, 0.4 + 0.1 / 3, 0.1 / 3);
    d.drawLine(0.4, 0.1 / 3, 0.4 + 0.1 / 3, 0.1 / 3);
    d.drawLine(0.4, 0.1 / 3, 0.4, 0);
    d.drawPoint(0.5, 0.5);
    d.drawText(0, 0.1, 0.01, 0, "IDE 1");
    writeFileSync("dxf-writer-shapes.dxf", d.toDxfString());
}

// @tarikjabiri/dxf: unit um; block in an array, polyline, circle, arc with its chord
{
    const dxf = new DxfWriter();
    dxf.setUnits(Units.Microns);
    dxf.addLayer("grating", 3, "Continuous");
    const block = dxf.addBlock("LINE1");
    block.setLayerName?.("0");
    block.addLWPolyline([[0, 0], [0.4, 0], [0.4, 20], [0, 20]].map(([x, y]) => ({ point: point2d(x, y) })), { flags: LWPolylineFlags.Closed, layerName: "0" });
    dxf.addInsert("LINE1", point3d(5, 5), { columnCount: 12, rowCount: 1, columnSpacing: 0.8, rowSpacing: 0, layerName: "grating" });
    dxf.addInsert("LINE1", point3d(40, 5), { rotationAngle: 90, scaleFactor: { x: 2, y: 0.5, z: 1 }, layerName: "grating" });
    dxf.addCircle(point3d(30, 30), 2.5, { layerName: "grating" });
    dxf.addArc(point3d(60, 30), 4, 0, 180, { layerName: "grating" });
    dxf.addLine(point3d(56, 30), point3d(64, 30), { layerName: "grating" });
    writeFileSync("tarikjabiri-grating.dxf", dxf.stringify());
}
