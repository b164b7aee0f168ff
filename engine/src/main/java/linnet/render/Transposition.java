package linnet.render;

import linnet.plan.Feed;
import linnet.plan.Node;
import linnet.plan.Plan;
import linnet.step.LiveValues;

/** By how much a chain moves the pitch of all that is sung; of voices added up, the loudest one is the singer. */
final class Transposition {
    private Transposition() {}

    /** In cents, from the take to what leaves a node, at a sample of the take. */
    static double cents(Plan plan, int id, long takeFrame) {
        Node node = plan.nodes().get(id);
        if (node.feeds().isEmpty()) return 0;
        double own = node.work()
                .map(w -> w.use().step().transposition(new LiveValues(w.use().values(), w.tempo(), plan.rate(), 0, (what, value) -> {}), takeFrame))
                .orElse(0.0);
        return own + cents(plan, loudest(node, plan.rate(), takeFrame).from(), takeFrame);
    }

    /** The first of them, where several are as loud. */
    private static Feed loudest(Node node, double rate, long takeFrame) {
        Feed loudest = node.feeds().get(0);
        for (Feed f : node.feeds()) if (Supply.gainAt(f.level(), rate, takeFrame) > Supply.gainAt(loudest.level(), rate, takeFrame)) loudest = f;
        return loudest;
    }
}
