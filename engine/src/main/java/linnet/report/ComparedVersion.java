package linnet.report;

import java.util.List;
import linnet.dsp.Sound;
import linnet.step.Curve;

/**
 * One of the versions that a page compares.
 *
 * @param name what the user calls it; any text at all
 * @param remarks what was done to it before it was compared, a sentence each
 * @param sound the passage, as long and of the same rate as that of every other version
 * @param curves of the step in question; empty where there is none
 */
public record ComparedVersion(String name, List<String> remarks, Sound sound, List<Curve> curves) {
    public ComparedVersion {
        remarks = List.copyOf(remarks);
        curves = List.copyOf(curves);
    }
}
