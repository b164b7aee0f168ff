package linnet.render;

import java.util.ArrayList;
import linnet.hear.Ear;
import linnet.plan.Node;
import linnet.plan.Plan;
import linnet.text.Problem;
import linnet.text.Problems;
import linnet.text.ProblemsException;

/** What is stated against a singer of whom nothing can be measured, told of the part, group, return or mix that wants it: others may use the same chain. */
final class Unheard {
    private final String name;
    private final Ear ear;
    private final boolean part;

    /**
     * @param ear on what goes into its chain
     * @param part whether the song can go without it where nothing sounds in it
     */
    Unheard(String name, Ear ear, boolean part) {
        this.name = name;
        this.ear = ear;
        this.part = part;
    }

    static Unheard ofMix(Ear ear) {
        return new Unheard("mix", ear, false);
    }

    /** Where nobody sings in its input, all that its chain states against the singer and cannot be measured: a render comes only to the first of it. */
    void tell(Plan chain, Problems to) {
        if (ear.sung().known()) return;
        Problems here = new Problems();
        for (Node node : chain.steps()) {
            Node.Work step = node.work().orElseThrow();
            if (step.use().values().isRelative()) new Resolver(node.name(), step.use(), ear, here, new ArrayList<>()).resolve(step.use().values());
        }
        here.sorted().forEach(p -> tell(p, to));
    }

    /** What stopped its render. */
    void tell(ProblemsException stopped, Problems to) {
        stopped.problems().forEach(p -> tell(p, to));
    }

    private void tell(Problem found, Problems to) {
        to.report(found.at(), name + ": " + found.message() + (part && ear.isSilent() ? ", or take '" + name + "' out of the song" : ""));
    }
}
