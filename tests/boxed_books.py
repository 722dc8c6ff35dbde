"""A small book with one box share, any table of which a test may replace."""

CROPS = (
    "crop,days_tray,wait_tray,days_board,wait_board,days_raft,harvest_window,germination_percent,"
    "survival_tray_percent,survival_raft_percent\n"
    "Butterhead,14,3,0,,21,7,95,90,97\nRomaine,14,3,0,,21,7,95,90,97\nBasil,14,3,0,,21,7,95,90,97\n"
)
PRODUCTS = (
    "product,crop,pack,plants_per_unit\nHead,Butterhead,head,1\nLong head,Romaine,head,1\n"
    "Basil bunch,Basil,bunch,2\nBasil pot,Basil,bunch,1\n"
)
CATEGORIES = "category,product,price\nHeads,Head,2.5\nHeads,Long head,2.25\nHerbs,Basil bunch,1.8\n"
SHARES = "share,boxes,half_boxes,weekdays,to\nFamily box,10,3,Thu,2026-03-27\n"
SLOTS = (
    "share,slot,category,amount,half_amount\nFamily box,A head,Heads,1,\nFamily box,Herbs,Herbs,0.5,0.25\n"
)
BOOK = {
    "crops": CROPS,
    "products": PRODUCTS,
    "orders": None,
    "box_categories": CATEGORIES,
    "box_shares": SHARES,
    "box_slots": SLOTS,
}
WISHES = "share,product,wish,from,to,times,among_boxes\n"
CHANGES = "share,from,to,change,boxes,half_boxes\n"


def share_row(**cells):
    made = {"share": "Family box", "boxes": "10", "half_boxes": "3", "weekdays": "Thu"} | cells
    return ",".join(made) + "\n" + ",".join(made.values()) + "\n"
