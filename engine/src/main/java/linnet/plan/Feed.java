package linnet.plan;

/** What flows into a node: from which node, delayed by how many samples to be in time with the others, how loud. */
public record Feed(int from, int delay, Level level) {}
